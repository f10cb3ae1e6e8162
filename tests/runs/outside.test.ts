import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { engineOf } from '../../samples/runs/synthetic.ts';
import { envelopeOf } from '../../shared/proof/envelope.ts';
import { ceilingOf } from '../../shared/runs/outside.ts';
import { SAMPLES } from '../support/samples.ts';

test.each([
  ['dotterel/dotterel-16t', 'tow', 2],
  ['wheatear/wheatear-10', undefined, 4],
])('the ceiling of a state of %s does not depend on the states before it', (name, mapSet, different) => {
  const engine = engineOf(readFileSync(`${SAMPLES}${name}.engine.yaml`, 'utf8'), mapSet);
  const envelope = envelopeOf(engine, [])!;
  const states = [Number.NaN, -50, 0, 3000, 9000].flatMap((altitude) =>
    [4990, 5000, 5010].flatMap((speed) =>
      [Number.NaN, -20, 0, 30].map((deviation) => [speed, altitude, deviation] as const),
    ),
  );
  const inOrder = (some: typeof states) => {
    const ceiling = ceilingOf(engine, envelope);
    return some.map((state) => ceiling(...state));
  };
  const alone = states.map((state) => ceilingOf(engine, envelope)(...state));
  expect(new Set(alone).size).toBeGreaterThanOrEqual(different);
  expect(inOrder(states)).toEqual(alone);
  expect(inOrder(states.toReversed()).reverse()).toEqual(alone);
});
