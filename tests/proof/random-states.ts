// Bundled and run by random-states.mjs: derives random states of the samples and compares them with every bound.
import { fullProofOf } from '../../shared/limits/verdict.ts';
import type { Bound } from '../../shared/proof/bound.ts';
import { ENGINES, isWithin, opened, SHARES, States } from './states.ts';

const [count, seed] = process.argv.slice(2).map(Number) as [number, number];

/** Numbers from 0 to 1 that are the same for the same seed. Source: mulberry32, from memory. */
function numbersFrom(start: number): () => number {
  let state = start >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

const random = numbersFrom(seed);

/** Half of the shares are anywhere, a quarter each at an end or near it, where extremes are. */
function shareAtRandom(): number {
  const kind = random();
  if (kind < 0.5) return random();
  const end = random() < 0.5 ? 0 : 1;
  return kind < 0.75 ? end : Math.abs(end - 0.01 * random());
}

const sets = ENGINES.flatMap((name) => {
  const subject = opened(name);
  const bounds = [...fullProofOf(subject).bounds()];
  return subject.installation.selectable.map((engine) => ({
    name: [name, engine.mapSet].filter(Boolean).join(' '),
    states: new States(engine, subject),
    pairs: sidesOf(bounds.filter(({ mapSet }) => mapSet === engine.mapSet)),
  }));
});

/** The bounds of each value, so that it is derived once for both sides. */
function sidesOf(bounds: readonly Bound[]): readonly (readonly Bound[])[] {
  const sides = new Map<string, Bound[]>();
  for (const one of bounds) {
    const key = `${one.id} ${one.fault}`;
    sides.set(key, [...(sides.get(key) ?? []), one]);
  }
  return [...sides.values()];
}

let [states, values, passed] = [0, 0, 0];
for (let i = 0; states < count; i++) {
  const { name, states: engine, pairs } = sets[i % sets.length]!;
  const shares = Array.from({ length: SHARES }, shareAtRandom);
  const state = engine.at(shares);
  if (!state) continue;
  states++;
  const point = engine.point(state);
  for (const sides of pairs) {
    for (const value of engine.values(sides[0]!, point)) {
      values++;
      for (const one of sides) {
        if (isWithin(one, value)) continue;
        passed++;
        console.error(`${name}: ${one.id} ${one.side} ${one.fault ?? ''}: ${value} passes ${one.bound}`);
        console.error(`  at ${JSON.stringify(state)}`);
      }
    }
  }
  if (states % 50_000 === 0) console.log(`${states} states…`);
}
console.log(`${states} states, ${values} values, seed ${seed}: ${passed} beyond their bounds.`);
process.exitCode = passed > 0 ? 1 : 0;
