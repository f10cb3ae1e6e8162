import type { Analysis } from '../../shared/analysis.ts';
import type { LimitedBound } from '../../shared/limits/verdict.ts';
import { witnessTexts } from '../../shared/proof/words.ts';
import { insertEntry } from '../../shared/source/edit.ts';
import type { Editor } from '../editor.ts';
import { rangeOf } from '../places.ts';
import type { AddedState } from '../protocol.ts';

/**
 * The edit that adds the state of a bound as an operating point; null if the operating points of the file are written in
 * a form that cannot be extended.
 */
export function addedState(
  { file, installation }: Analysis,
  bound: LimitedBound,
  editor: Editor,
): AddedState | null {
  const { root } = file;
  const section = root.get('operating_points');
  const taken = installation?.configuration.operating_points ?? {};
  const name = unusedName(`${bound.side === 'high' ? 'highest' : 'lowest'}_${bound.id}`, taken);
  const keys = Object.entries(witnessTexts(bound)).map(([key, text]) => `${key}: ${text}`);
  const line = `{ ${keys.join(', ')} }`;
  if (section && section.type !== 'mapping') return null;
  const edit = section
    ? insertEntry(section, name, { line, block: keys }, section.entries.at(-1))
    : insertEntry(
        root,
        'operating_points',
        { line: `{ ${name}: ${line} }`, block: [`${name}:`, ...keys.map((key) => `  ${key}`)] },
        root.entries.at(-1),
      );
  return {
    uri: editor.uriOf(file.path),
    name,
    edits: [{ range: rangeOf(file, edit.span), newText: edit.text }],
  };
}

/** `highest_injector_duty`, or `highest_injector_duty_2` if that is taken. */
function unusedName(base: string, taken: Readonly<Record<string, unknown>>): string {
  let name = base;
  for (let count = 2; Object.hasOwn(taken, name); count++) name = `${base}_${count}`;
  return name;
}
