import { type Bounds, type Comparable, onScaleOf, unitOfBounds } from '../configuration/bounds.ts';
import type { CommaSplit } from '../configuration/comma.ts';
import type { Shape } from '../configuration/shape.ts';
import type { Repetition } from '../configuration/validate.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { describeKind, exampleUnit, formatUnit, referenceWords, type Unit } from '../quantity/index.ts';
import { renameKey, replace } from '../source/edit.ts';
import {
  type Entry,
  mappingOfKey,
  type Node,
  pathOf,
  pathText,
  type ScalarNode,
  spanInScalar,
} from '../source/tree.ts';
import type { Fix, Found } from './check.ts';
import { formatStated, inOtherUnit } from './words.ts';

export { PLACEHOLDER } from '../configuration/bind.ts';

export const quote = (text: string): string => `\`${text}\``;

/** A value as a message shows it: bare if it begins with a number, otherwise in code style. */
export const valueText = (text: string): string => (/^[-+.]?\d/.test(text) ? text.trim() : quote(text));

/** A value as written and, if it has another unit than the range that it is compared with, also in the unit of the range. */
export function textBeside(
  written: string,
  value: Comparable & { readonly unit?: Unit | undefined },
  bounds: Bounds,
): string {
  const [text, wanted] = [valueText(written), unitOfBounds(bounds.text)];
  if (value.unit)
    return text + inOtherUnit(onScaleOf(bounds, value), formatUnit(value.unit, value.reference), wanted);
  return wanted === '%' ? `${text} without a unit, which is ${formatStated(value.canonical, '%')}` : text;
}

/** `` `fuel.rail.pressure` ``; the root is the file. A key has no path of its own. */
export function nameOf(node: Node): string {
  const mapping = mappingOfKey(node);
  if (mapping) return `a key of ${nameOf(mapping)}`;
  const path = pathText(pathOf(node));
  return path === '' ? 'the file' : quote(path);
}

export function listOf(words: readonly string[], join: 'and' | 'or'): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} ${join} ${words.at(-1)}`;
}

/** `an oil pressure` */
export const withArticle = (noun: string): string => `${/^[aeiou]/.test(noun) ? 'an' : 'a'} ${noun}`;

export function firstSentence(text: string | undefined): string {
  return /^.*?[.](?= |$)/.exec(text ?? '')?.[0] ?? '';
}

/** A description of a key as it is written in brackets: `cylinder bore`. */
export function withinSentence(description: string): string {
  return description
    .replace(/[.]$/, '')
    .replace(/^The /, '')
    .replace(/^[A-Z](?=[a-z ])/, (letter) => letter.toLowerCase());
}

/** What a place may hold, with its article: `a length, such as ...`. */
export function acceptedText(shape: Shape): string {
  if (shape.quantity) return describeKind(shape.quantity) + (shape.table ? ', or a curve' : '');
  if (shape.range) return `a range, such as ${quote(`LOW..HIGH ${exampleUnit(shape.range)}`.trim())}`;
  if (shape.table) return `a ${shape.table.y ? 'map' : 'curve'} with ${listOf(tableKeys(shape), 'and')}`;
  if (shape.relation) return `pairs of ${kindPair(shape.relation)}`;
  if (shape.choices) return listOf(shape.choices.map(String).map(quote), 'or');
  if (shape.items && shape.properties.size === 0) return 'a list in brackets';
  if (shape.names) return `the name of ${withArticle(shape.names)}`;
  if (shape.file) return `the path of ${shape.file === 'engine' ? 'an engine' : 'a controller'} file`;
  if (shape.properties.size > 0 || shape.others) return 'a section of keys';
  return primitives[shape.primitive ?? ''] ?? 'a text';
}

const primitives: Readonly<Record<string, string>> = {
  integer: 'a whole number',
  number: 'a number without a unit',
  boolean: '`true` or `false`',
};

function tableKeys(shape: Shape): string[] {
  const { y, unit } = shape.table!;
  const keys = ['x', y && 'y', unit === 'number' ? undefined : 'unit', 'values'];
  return keys.filter((key) => key !== undefined).map(quote);
}

function kindPair({ from, to }: NonNullable<Shape['relation']>): string {
  return `${describeKind(from)}, and ${describeKind(to)}`;
}

/** What a node holds, to follow "not". */
export function whatStands(node: Node): string {
  if (node.type === 'mapping') return 'a section of keys';
  return node.type === 'sequence' ? 'a list' : quote(node.text);
}

/** A text as YAML writes it: in quotes where it would not be read as text. */
export function scalarText(text: string): string {
  return /^[%@`!&*?|>'"#{}[\],\s-]|: |:$| #|^$/.test(text) && !/^-\.?\d/.test(text)
    ? JSON.stringify(text)
    : text;
}

/** The numbers that digits with a comma, spaces or other separators may mean. */
export function plainNumbers(text: string): string[] {
  // Nobody separates thousands after a zero.
  if (/^[-+]?[1-9]\d{0,2}(,\d{3})+$/.test(text)) {
    const joined = text.replaceAll(',', '');
    return text.split(',').length === 2 ? [text.replace(',', '.'), joined] : [joined];
  }
  if (/^[-+]?\d+,\d+$/.test(text)) return [text.replace(',', '.')];
  if (/^[-+]?\d{1,3}([_ '’]\d{3})+(\.\d+)?$/.test(text)) return [text.replaceAll(/[_ '’]/g, '')];
  // A comma before a decimal point can only separate thousands.
  if (/^[-+]?\d{1,3}(,\d{3})+\.\d+$/.test(text)) return [text.replaceAll(',', '')];
  return [];
}

/** A fix that rewrites part of a scalar; `range` counts in the scalar's text. Its title shows the whole new text. */
export function rewriting(
  node: ScalarNode,
  range: readonly [start: number, end: number],
  text: string,
  safety: Fix['safety'],
): Fix {
  const whole = (node.text.slice(0, range[0]) + text + node.text.slice(range[1])).trim();
  const title = `Change to ${valueText(whole)}`;
  const needsQuotes = node.style === 'plain' && scalarText(whole) !== whole;
  const edit = needsQuotes
    ? replace(node, scalarText(whole))
    : replace(spanInScalar(node, ...range), range[0] > 0 || range[1] < node.text.length ? text : whole);
  return { title, safety, edits: [edit] };
}

/** The fix that renames a key to the nearest name that fits; none if there is no such name. */
export const renaming = (entry: Entry, name: string | undefined, safety: Fix['safety'] = 'choice'): Fix[] =>
  name === undefined ? [] : [{ title: `Rename to ${quote(name)}`, safety, edits: [renameKey(entry, name)] }];

/** Where the spaces before a position begin. */
export function blanksBefore(text: string, at: number): number {
  return text.slice(0, at).trimEnd().length;
}

/** The fix that removes `abs` or `gauge` from a pressure, which makes it a difference. */
export function withoutReference({ node, quantity }: QuantityValue): Fix {
  const word = referenceWords[quantity.reference!];
  const start = blanksBefore(node.text, node.text.trimEnd().length - word.length);
  return rewriting(node, [start, node.text.length], '', 'choice');
}

/** In braces the comma of `76,5 mm` ends the entry, and the rest is read as another key. */
export function numberWithComma({ span, text, number, first, last, inKey }: CommaSplit): {
  message: string;
  fixes: Fix[];
} {
  const fixes = plainNumbers(number).map((plain): Fix => {
    const whole = plain + text.slice(number.length);
    return { title: `Change to ${valueText(whole)}`, safety: 'choice', edits: [{ span, text: whole }] };
  });
  const what = inKey ? `a key ${quote(first.text)}` : quote(first.text);
  const message = `${quote(text)} is read as ${what} and a key ${quote(last.text)}, because a comma in braces separates keys; write a decimal point.`;
  return { message, fixes };
}

/** A value that is valid where it is written and not where an alias repeats it. */
export function repeatedFinding({ at, path, of }: Repetition, complaint: string, written: Node): Found {
  const [here, there] = [path, pathOf(of)].map((steps) => quote(pathText(steps)));
  return {
    at,
    message: `${here} is an alias of ${there}, but ${complaint}.`,
    related: [{ at: written, message: 'Written here.' }],
  };
}
