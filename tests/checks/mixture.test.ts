import { expect, test } from 'vitest';
import type { EngineSubject, Found } from '../../shared/checks/check.ts';
import { leanAtHighLoad, richMixture } from '../../shared/checks/mixture-lean.ts';
import { analyseCase } from '../support/fixture.ts';

const MAP = (cell: string) => `target_lambda:
            x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
            y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [40, 150] }
            values: [[0.95, 0.66], [0.80, ${cell}]]`;

/** What both checks find in a map with a rich and a lean cell, with map sets of which the last changes what is given. */
function found(change: string): readonly Found[] {
  const text = `based_on: ./complete.engine.yaml
remove: [map_sets.sets.ferry.apply.fuel]
fuel:
  ${MAP('1.0')}
map_sets:
  sets:
    climb: { apply: { boost: { overboost_cut: 155 kPa abs } } }
    ferry:
      apply:
        ${change}
`;
  const subject = analyseCase(new Map([['case.engine.yaml', text]]), ['none']).subject as EngineSubject;
  return [leanAtHighLoad, richMixture].flatMap((check) =>
    [...check.find(subject, { trim: 0.03 }, {})].filter((one) => one !== undefined),
  );
}

test('a mixture map is judged once for all map sets that share it', () => {
  expect(found('engine: { idle_speed: 1250 rpm }')).toHaveLength(2);
});

test('and again in a map set that has its own', () => {
  expect(found(`fuel:\n          ${MAP('0.99')}`)).toHaveLength(4);
});
