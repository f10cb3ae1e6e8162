import { type Edit, insertEntry } from '../source/edit.ts';
import type { SourceFile } from '../source/source-file.ts';
import type { Bound } from './bound.ts';
import { witnessTexts } from './witness.ts';

/** An operating point to be added to a file. */
export interface AddedPoint {
  readonly name: string;
  readonly edit: Edit;
}

/**
 * Adds the witness of a bound as an operating point, so that every value of that state can be seen. Its name is `base`,
 * with a number if that is among the `taken` ones. Undefined if the file has operating points in a form that cannot be
 * extended.
 */
export function addedWitness(
  { root }: SourceFile,
  taken: Readonly<Record<string, unknown>>,
  bound: Pick<Bound, 'witness' | 'mapSet'>,
  base: string,
): AddedPoint | undefined {
  const section = root.get('operating_points');
  const name = unusedName(base, taken);
  const keys = Object.entries(witnessTexts(bound)).map(([key, text]) => `${key}: ${text}`);
  const point = { line: `{ ${keys.join(', ')} }`, block: keys };
  if (section?.type === 'mapping')
    return { name, edit: insertEntry(section, name, point, section.entries.at(-1)) };
  if (section) return undefined;
  const value = {
    line: `{ ${name}: ${point.line} }`,
    block: [`${name}:`, ...keys.map((key) => `  ${key}`)],
  };
  return { name, edit: insertEntry(root, 'operating_points', value, root.entries.at(-1)) };
}

/** `highest_duty`, or `highest_duty_2` if that is taken. */
function unusedName(base: string, taken: Readonly<Record<string, unknown>>): string {
  let name = base;
  for (let count = 2; name in taken; count++) name = `${base}_${count}`;
  return name;
}
