import type { Analysis } from '../../shared/analysis.ts';
import type { LimitedBound } from '../../shared/limits/verdict.ts';
import { addedWitness } from '../../shared/proof/witness-entry.ts';
import type { Editor } from '../editor.ts';
import { rangeOf } from '../places.ts';
import type { AddedState } from '../protocol.ts';

/** The edit that adds the state of a bound as an operating point; null if that is not possible. */
export function addedState(
  { file, installation }: Analysis,
  bound: LimitedBound,
  editor: Editor,
): AddedState | null {
  const taken = installation?.configuration.operating_points ?? {};
  const base = `${bound.side === 'high' ? 'highest' : 'lowest'}_${bound.id}`;
  const added = addedWitness(file, taken, bound, base);
  if (!added) return null;
  const { name, edit } = added;
  return {
    uri: editor.uriOf(file.path),
    name,
    edits: [{ range: rangeOf(file, edit.span), newText: edit.text }],
  };
}
