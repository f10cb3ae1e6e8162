import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { diskProject } from '../../server/files.ts';
import { analyse } from '../../shared/analysis.ts';
import { contains, type Interval } from '../../shared/arithmetic/interval.ts';
import { lookUp } from '../../shared/configuration/lookup.ts';
import { type Conditions, OperatingPoint } from '../../shared/derived/operating-point.ts';
import { pointValues } from '../../shared/derived/registry.ts';
import { readTrace, Trace } from '../../shared/derived/trace.ts';
import { chosen, type Operand } from '../../shared/derived/value.ts';
import { Enclosure } from '../../shared/proof/enclosure.ts';
import { graphOf } from '../../shared/proof/graph.ts';
import { SAMPLES, sampleNames } from '../support/samples.ts';

const engines = sampleNames.filter((name) => name.endsWith('.engine.yaml') && !name.startsWith('broken/'));

/** The operands of a state in canonical units, with wider ranges than engines have. */
const RANGES = {
  speed: [500, 7000],
  manifoldPressure: [20e3, 250e3],
  pressureAltitude: [-1000, 6000],
  isaDeviation: [-40, 40],
  coolantTemperature: [230, 400],
  batteryVoltage: [6, 18],
} as const;
type StateName = keyof typeof RANGES;
const names = Object.keys(RANGES) as StateName[];

const state = fc.record(
  Object.fromEntries(
    Object.entries(RANGES).map(([name, [min, max]]) => [name, fc.double({ min, max, noNaN: true })]),
  ) as Record<StateName, fc.Arbitrary<number>>,
);

function tracedAt(point: OperatingPoint, numbersOf: Record<StateName, number>) {
  const operands = Object.fromEntries(
    names.map((name) => [name, { canonical: numbersOf[name] } satisfies Operand]),
  ) as Record<StateName, Operand>;
  const conditions: Conditions = { ...point.conditions, ...operands, throttle: { canonical: 1 } };
  const traced = new OperatingPoint(point.name, point.engine, conditions, point.node);
  return { traced, operands };
}

const ANY = {
  speed: 3000,
  manifoldPressure: 90e3,
  pressureAltitude: 500,
  isaDeviation: 3,
  coolantTemperature: 350,
  batteryVoltage: 13,
};

describe.each(engines)('%s', (name) => {
  const project = diskProject([SAMPLES + name]);
  const analysis = analyse(project, SAMPLES + name)!;

  const [point] = analysis.derivation!.points;
  const { traced, operands } = tracedAt(point!, ANY);
  const trace = new Trace();
  const targets = pointValues.flatMap((definition) => {
    const value = traced.get(definition);
    return value ? [{ definition, step: trace.indexOf(value) }] : [];
  });
  const nameOf = new Map<Operand, StateName>(names.map((one) => [operands[one], one]));

  test('a trace read at another state gives what is derived there', () => {
    expect(targets.length).toBeGreaterThan(20);
    fc.assert(
      fc.property(state, (at) => {
        const fresh = tracedAt(point!, at).traced;
        const values = readTrace(trace, {
          input: (operand) => (nameOf.has(operand) ? at[nameOf.get(operand)!] : operand.canonical),
          table: (table, x, y) => lookUp(table, x, y)!,
          formula: (formula, numbers) => formula.of(numbers),
          choose: chosen,
        });
        for (const { definition, step } of targets) {
          const derived = fresh.number(definition);
          if (derived === undefined) continue;
          expect(Math.abs(values[step]! - derived), definition.id).toBeLessThanOrEqual(
            1e-9 * Math.abs(derived),
          );
        }
      }),
    );
  });

  test('a trace read as intervals encloses every state in them', () => {
    const graph = graphOf(trace, new Map(names.map((one, i) => [operands[one], i])));
    const enclosure = new Enclosure(targets.map(({ step }) => graph[step]!));
    const box = fc.record(
      Object.fromEntries(
        names.map((one) => [
          one,
          fc.tuple(
            fc.double({ min: 0, max: 1, noNaN: true }),
            fc.double({ min: 0, max: 1, noNaN: true }),
            fc.double({ min: 0, max: 1, noNaN: true }),
          ),
        ]),
      ) as Record<StateName, fc.Arbitrary<[number, number, number]>>,
    );
    fc.assert(
      fc.property(box, (shares) => {
        const ranges = {} as Record<StateName, Interval>;
        const at = {} as Record<StateName, number>;
        for (const one of names) {
          const [min, max] = RANGES[one];
          const [low, inside, high] = shares[one]
            .map((share) => min + share * (max - min))
            .sort((a, b) => a - b);
          ranges[one] = { low: low!, high: high! };
          at[one] = inside!;
        }
        const values = enclosure.over(names.map((one) => ranges[one]));
        const fresh = tracedAt(point!, at).traced;
        targets.forEach(({ definition }, i) => {
          const derived = fresh.number(definition);
          if (derived !== undefined) expect(contains(values[i]!, derived), definition.id).toBe(true);
        });
      }),
    );
  });
});
