import { expect, test } from 'vitest';
import { analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { FillingSum, fillingMapOf } from '../../shared/runs/filling-sum.ts';
import { takenFilling } from '../../shared/runs/take-filling.ts';

/** An engine file with a map of two cells, and what a measured 0.8512 for its first one is written as. */
const taken = (unit: string, values: string): string | undefined => {
  const text = `fuel:
  volumetric_efficiency:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 2000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [50, 100] }
${unit && `    unit: "${unit}"\n`}    values:
      - ${values}
      - ${values}
`;
  const project = createProject((path) => (path.endsWith('.engine.yaml') ? text : undefined));
  const { installation } = analyse(project, '/x.engine.yaml')!;
  const map = fillingMapOf(installation!.configuration.fuel!.volumetric_efficiency)!;
  const sum = new FillingSum(map);
  sum.mapSets.add('');
  const cell = { row: 0, column: 0, now: map.now[0]!, measured: 0.8512, believed: true };
  const more = { uncertainty: 0.001, ofInstruments: 0, rows: 50, effectiveRows: 50, leverage: 0.1 };
  return takenFilling(installation!, [{ sum, cells: [{ ...cell, ...more }] }])[0]?.text;
};

test.each([
  ['%', '[80.0, 90.0]', '85.1'],
  ['%', '[80, 90]', '85'],
  ['%', '[80, 90.25]', '85.12'],
  // No trailing zeros in a table without any.
  ['%', '[80, 90.125]', '85.12'],
  ['%', '[8.0e+1, 9.0e+1]', '85'],
  ['', '[0.80, 0.90]', '0.85'],
  ['', '[8.5e-1, 9.0e-1]', undefined],
  ['', '[8.0e-1, 9.0e-1]', '0.85'],
  ['', '[8.00e-1, 9.00e-1]', '0.851'],
])('a measured cell is written in the precision of its table: %s %s', (unit, values, text) => {
  expect(taken(unit, values)).toBe(text);
});
