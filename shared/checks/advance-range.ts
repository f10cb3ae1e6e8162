import { ignitionAdvance } from '../derived/ignition.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import type { Side } from '../proof/bound.ts';
import type { Proof } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import { excessFinding, excessOf, isNumberAsFar } from './beyond.ts';
import type { EngineSubject, Found } from './check.ts';
import { formatQuantity, formatStated } from './words.ts';

/** A state in which the advance is outside its range, on one side, unless a cell is as far outside. */
export function* advanceBeyondRange(
  subject: EngineSubject,
  proof: Proof,
  side: Side,
): Generator<Found | Pause> {
  const advance = yield* excessOf(subject, proof, {
    ...{ value: ignitionAdvance, side },
    limitOf: ({ ignition }) => ignition?.advance_range?.[side].canonical,
  });
  yield* excessFinding(subject, advance, ({ ignition }, { atPoint, where, reached, limit }) => {
    const { advance_range: range, advance: map, charge_temperature_retard: retard } = ignition ?? {};
    if (!range || !map?.cells) return undefined;
    const furthest = side === 'high' ? maximumOf(map.cells) : minimumOf(map.cells);
    if (isNumberAsFar(furthest, { side, reached })) return undefined;
    const [way, relation, name] =
      side === 'high'
        ? ['reaches', 'above the upper limit', 'highest_advance']
        : ['falls to', 'below the lower limit', 'lowest_advance'];
    return {
      ...{ at: range.node, label: 'ignition advance', name, verb: 'gives' },
      severity: atPoint ? 'error' : 'warning',
      message: `With the charge temperature retard, advance ${way} ${formatQuantity(reached, 'deg', 3)} ${where}, ${relation} of ${formatStated(limit, 'deg')}`,
      related: retard ? [{ at: retard.node, message: 'The charge temperature retard.' }] : [],
    };
  });
}
