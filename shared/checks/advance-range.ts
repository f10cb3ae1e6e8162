import type { StateConfiguration } from '../derived/core-engine.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import type { Side } from '../proof/bound.ts';
import type { Proof } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import { boundClause, excessOf, isNumberAsFar, openFinding, witnessFixes } from './beyond.ts';
import type { EngineSubject, Found } from './check.ts';
import { formatQuantity, formatStated } from './words.ts';

/** A state in which the advance is outside its range, on one side, unless a cell is as far outside. */
export function* advanceBeyondRange(
  subject: EngineSubject,
  proof: Proof,
  side: Side,
): Generator<Found | Pause> {
  const rangeOf = ({ ignition }: StateConfiguration) => ignition?.advance_range;
  const advance = yield* excessOf(subject, proof, {
    ...{ value: ignitionAdvance, side },
    limitOf: (configuration) => rangeOf(configuration)?.[side].canonical,
  });
  if (!advance) return;
  const { atPoint, bound, where, reached, limit } = advance;
  const engine = subject.installation.selectable.find(({ mapSet }) => mapSet === bound?.mapSet);
  const { configuration } = atPoint?.point ?? engine ?? subject.installation;
  const range = rangeOf(configuration);
  const cells = configuration.ignition?.advance?.cells;
  if (!range || !cells) return;
  const furthest = side === 'high' ? maximumOf(cells) : minimumOf(cells);
  if (isNumberAsFar(furthest, { side, reached })) return;
  const retard = configuration.ignition?.charge_temperature_retard;
  const fixes = witnessFixes(subject, advance, side === 'high' ? 'highest_advance' : 'lowest_advance');
  if (advance.verdict === 'open') {
    yield openFinding(range.node, 'ignition advance', advance, fixes);
    return;
  }
  const [way, relation] =
    side === 'high' ? ['reaches', 'above the upper limit'] : ['falls to', 'below the lower limit'];
  yield {
    at: range.node,
    severity: atPoint ? 'error' : 'warning',
    message: `With the charge temperature retard, advance ${way} ${formatQuantity(reached, 'deg', 3)} ${where}${boundClause(advance, 'gives')}, ${relation} of ${formatStated(limit, 'deg')}.`,
    related: retard
      ? [...advance.related, { at: retard.node, message: 'The charge temperature retard.' }]
      : advance.related,
    fixes,
  };
}
