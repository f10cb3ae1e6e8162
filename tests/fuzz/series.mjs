// The steps taken with a family of files, in bursts.
import { SECTIONS, WHERE } from '../support/family.mjs';
import { randomOf } from './random.mjs';
import { randomStep } from './window.mjs';

/** The maximum number of steps for a family; after many steps all its texts are garbage. */
const LONGEST_SERIES = 80;
const LONGEST_BURST = 16;

/** Everything that defines a series; the same for the same seed. */
export function seriesOf(seed) {
  const random = randomOf(seed);
  const edit = () => ({ where: random.pick(WHERE), pick: random.below(10_000), digit: random.below(10) });
  const some = (most, make) => Array.from({ length: random.below(most + 1) }, make);
  const part = () => ({
    section: random.pick(SECTIONS),
    entry: random.below(5) === 0 ? null : random.below(99),
  });
  const overlay = () => ({
    on: random.below(99),
    parts: some(2, part),
    controller: random.below(2) === 0,
    isBelow: random.below(2) === 0,
    edits: some(3, edit),
  });
  const recipe = { root: random.pick([0, 0, 0, 0, 1, 2]), overlays: [overlay(), ...some(2, overlay)] };
  const bursts = [];
  for (let left = 1 + random.below(LONGEST_SERIES); left > 0; left -= bursts.at(-1).length)
    bursts.push(
      Array.from({ length: Math.min(left, 1 + random.below(LONGEST_BURST)) }, () => ({
        ...randomStep(random),
        flush: random.below(2) === 0,
      })),
    );
  const places = Array.from({ length: 6 }, () => random.below(10_000) / 10_000);
  // Without file watching, every burst takes a second longer.
  const watches = random.below(40) > 0;
  return { recipe, bursts, places, isReviewed: random.below(2) === 0, watches };
}
