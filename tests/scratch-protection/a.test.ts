import { readFileSync } from 'node:fs';
import { test } from 'vitest';
import { analyseCase } from '../support/fixture.ts';
import { mapSetChanges } from '../../shared/derived/map-sets.ts';
test('a', () => {
  const text = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');
  const from = text.indexOf('\nsensors:');
  let n = 0;
  for (let i = from; i < text.length; i += 23) {
    for (const t of [text.slice(0, i), text.slice(0, i) + text.slice(i + 17), text.slice(0, i) + '\n' + text.slice(i)]) {
      const a = analyseCase(new Map([['case.engine.yaml', t]]));
      a.derivation?.all(); if (a.installation) mapSetChanges(a.installation); n++;
    }
  }
  for (const k of ['protection: 3', 'protection: { a: 1, b: [], c: , d: { watches: }, e: { watches: engine_speed, above: 3 }, f: {watches: engine_speed, above: {caution: {x: 3}, warning: }}}', 'map_sets: { sets: { a: , b: 3, c: [], d: {when: open, apply: 3}, e: {apply: {boost: 3}} } }', 'closed_loop: { lambda: 3, knock: , exhaust_gas_temperature: { target: x } }', 'sensors: { a: , b: 3, manifold_pressure: { scaling: {}, substitute: x, fault_outside: 3 }, constructor: 3 }', 'operating_points: { a: 3, b: , c: { map_set: 3 } }']) {
    const a = analyseCase(new Map([['case.engine.yaml', `based_on: ./complete.engine.yaml\n${k}\n`]]));
    a.derivation?.all(); mapSetChanges(a.installation!);
    const b = analyseCase(new Map([['case.engine.yaml', `enginefile: 1\n${k}\n`]]));
    b.derivation?.all(); mapSetChanges(b.installation!);
  }
  console.log(n);
}, 300000);
