import fc from 'fast-check';
import { expect, test } from 'vitest';
import { allValues } from '../../shared/derived/registry.ts';
import { completeEngine } from '../support/command-line.ts';
import { analyseCase } from '../support/fixture.ts';

const SPEEDS = [1000, 3000, 5000, 5800];
const PRESSURES = [30, 60, 100, 150];

/** The complete engine with some sections replaced. */
function engineWith(sections: Readonly<Record<string, string>>): string {
  return Object.entries(sections).reduce(
    (text, [name, section]) => text.replace(new RegExp(`^( *)${name}:.*\\n(?:\\1 .*\\n|\\n)*`, 'm'), section),
    completeEngine,
  );
}

const map = (name: string, unit: string, rows: readonly (readonly number[])[]) => `  ${name}:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [${SPEEDS.join(', ')}] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [${PRESSURES.join(', ')}] }
${unit}    values:
${rows.map((row) => `      - [${row.join(', ')}]`).join('\n')}
`;

const pointName = (speed: number, pressure: number) => `at_${speed}_${pressure}`;

/** Every cell as an operating point that states its pressure. */
const points = SPEEDS.flatMap((speed) =>
  PRESSURES.map(
    (pressure) =>
      `  ${pointName(speed, pressure)}: { speed: ${speed} rpm, throttle: 100 %, manifold_pressure: ${pressure} kPa abs }\n`,
  ),
);

const boost = `boost:
  control: pneumatic-wastegate
  target:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
    y: { quantity: throttle_position, unit: "%", breakpoints: [0, 100] }
    unit: kPa abs
    values:
      - [60, 60]
      - [150, 150]
  compressor: { maximum_pressure_ratio: 2.3, efficiency: 70 % }
  intercooler: { effectiveness: 60 %, pressure_loss: 4 kPa }
`;

const worstCases = [
  ['injector_duty_worst_case', 'injector_duty'],
  ['injector_duty_worst_case_at_fault_pressure', 'injector_duty_at_fault_pressure'],
  ['fuel_flow_worst_case', 'fuel_flow_by_volume'],
] as const;

const rowsOf = (min: number, max: number, scale: number) =>
  fc.array(
    fc.array(
      fc.integer({ min, max }).map((number) => number / scale),
      { minLength: 4, maxLength: 4 },
    ),
    { minLength: 4, maxLength: 4 },
  );

test.each([
  ['manifold-referenced', '{ regulator: manifold-referenced, pressure: 3.0 bar, fault_pressure: 2.4 bar }'],
  ['fixed', '{ regulator: fixed, pressure: 4.5 bar gauge, fault_pressure: 3.9 bar gauge }'],
])(
  'with a %s regulator, the highest value of the map cells is that of all cells taken as operating points',
  (_, rail) => {
    fc.assert(
      fc.property(rowsOf(300, 1100, 10), rowsOf(70, 110, 100), (filling, lambda) => {
        const text = engineWith({
          rail: `  rail: ${rail}\n`,
          volumetric_efficiency: map('volumetric_efficiency', '    unit: "%"\n', filling),
          target_lambda: map('target_lambda', '', lambda),
          boost,
          map_sets: '',
          operating_points: `operating_points:\n${points.join('')}`,
        });
        const { derivation } = analyseCase(new Map([['a.engine.yaml', text]]));
        const numbersOf = (id: string) =>
          allValues(derivation!)
            .filter((value) => value.id === id)
            .map(({ canonical }) => canonical);
        for (const [worst, ofPoint] of worstCases) {
          const cells = numbersOf(ofPoint);
          expect(cells).toHaveLength(SPEEDS.length * PRESSURES.length);
          expect(numbersOf(worst)).toEqual([Math.max(...cells)]);
        }
      }),
      { numRuns: 40 },
    );
  },
);
