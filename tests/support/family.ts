import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { SAMPLES } from './samples.ts';

/** Files that belong together, by their names in one folder: a base, what is based on it, the controllers. */
export type Family = ReadonlyMap<string, string>;

/** A small change of a text: where, which of the places there, and the digit that it gets. */
export interface FamilyEdit {
  readonly where: (typeof WHERE)[number];
  readonly pick: number;
  readonly digit: number;
}

/** A change as an editor sends it: the stretch from `start` to `end`, in UTF-16 units, becomes `text`. */
export interface Change {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** Sections by their names; in the first cell of a map no operating point of the fixtures reads, in others some do. */
const WHERE = [
  ...(['first cell', 'first cell', 'cell', 'cell', 'cell', 'comment', 'anywhere', 'based_on'] as const),
  ...(['sensors', 'protection', 'bus', 'operating_points', 'map_sets', 'fuel', 'harness', 'checks'] as const),
];

const fixture = (name: string) => readFileSync(new URL(`../fixtures/${name}`, import.meta.url), 'utf8');
const sample = (name: string) => readFileSync(`${SAMPLES}${name}`, 'utf8');

/** The files that nothing else is added to; the first one is the base. */
const ROOTS: readonly Family[] = [
  new Map(
    ['complete.engine.yaml', 'complete.controller.yaml'].map((name): [string, string] => [
      name,
      fixture(name),
    ]),
  ),
  new Map(
    ['dotterel-16t.engine.yaml', 'dotterel-16t-mountain.engine.yaml', 'four-channel.controller.yaml'].map(
      (name): [string, string] => [name, sample(`dotterel/${name}`)],
    ),
  ),
];

/** The sections that overlays write themselves, or one entry of; those with maps more often: there is most to share. */
const SECTIONS = [
  ...['fuel', 'fuel', 'fuel', 'ignition', 'ignition', 'boost', 'sensors', 'map_sets', 'operating_points'],
  ...['protection', 'bus', 'outputs', 'checks', 'closed_loop'],
];

const pick = fc.nat(10_000);

export const familyEdit: fc.Arbitrary<FamilyEdit> = fc.record({
  where: fc.constantFrom(...WHERE),
  pick,
  digit: fc.nat(9),
});

const overlay = fc.record({
  on: pick,
  parts: fc.uniqueArray(
    fc.record({ section: fc.constantFrom(...SECTIONS), entry: fc.option(pick, { freq: 4 }) }),
    {
      maxLength: 2,
      selector: ({ section }) => section,
    },
  ),
  controller: fc.boolean(),
  edits: fc.array(familyEdit, { maxLength: 3 }),
});

/** A section of the base, or one entry of it. */
interface Part {
  readonly section: string;
  readonly entry: number | null;
}

/** What a family is made by; short, so that a failing test can print it. */
export interface Recipe {
  readonly root: number;
  readonly overlays: readonly {
    readonly on: number;
    readonly parts: readonly Part[];
    readonly controller: boolean;
    readonly edits: readonly FamilyEdit[];
  }[];
}

export const recipes: fc.Arbitrary<Recipe> = fc.record({
  // Mostly the one that is read faster.
  root: fc.constantFrom(0, 0, 0, 1),
  overlays: fc.array(overlay, { minLength: 1, maxLength: 3 }),
});

/** A base and a few files based on it or on each other, each with some sections of its own, slightly changed. */
export function familyOf({ root, overlays }: Recipe): Family {
  const files = new Map(ROOTS[root]!);
  const [base] = files.values();
  for (const [i, { on, parts, controller, edits }] of overlays.entries()) {
    const below = enginesOf(files);
    const own = parts.map((part) => partOf(base!, part));
    let text = `enginefile: 1\nbased_on: ./${below[on % below.length]}\ntitle: Overlay ${i}\n${own.join('')}`;
    for (const edit of edits) text = edited(text, changeOf(text, edit, below));
    files.set(`overlay-${i}.engine.yaml`, controller ? `${text}controller: ./other.controller.yaml\n` : text);
  }
  const [, stated] = [...files].find(([name]) => name.includes('.controller.'))!;
  files.set('other.controller.yaml', stated.replace('resolution: 12 bit', 'resolution: 10 bit'));
  return files;
}

export const enginesOf = (files: Family): string[] =>
  [...files.keys()].filter((name) => name.includes('.engine.'));

export function partOf(text: string, { section, entry }: Part): string {
  const whole = text.split(/^(?=\w)/m).find((one) => one.startsWith(`${section}:`)) ?? '';
  const [head, ...entries] = whole.split(/^(?= {2}\w)/m);
  // Where there are tables, one of them: what else the overlay would share with its base it would share no longer.
  const tables = entries.filter((one) => one.includes('breakpoints:'));
  const some = tables.length > 0 ? tables : entries;
  return entry === null || some.length === 0 ? whole : `${head}${some[entry % some.length]}`;
}

export const edited = (text: string, { start, end, text: put }: Change): string =>
  text.slice(0, start) + put + text.slice(end);

const NOTHING: Change = { start: 0, end: 0, text: '' };

/** What an edit comes to in a text; where the text has no such place, nothing. */
export function changeOf(text: string, { where, pick, digit }: FamilyEdit, names: readonly string[]): Change {
  if (where === 'based_on') {
    const found = /^based_on: \.\/(.*)$/m.exec(text);
    return found ? behind(text, found[0], 'based_on: ./', names[pick % names.length]!) : NOTHING;
  }
  const lines = [...text.matchAll(/^/gm)].map(({ index }) => index);
  if (where === 'comment') {
    const at = lines[pick % lines.length]!;
    const words = digit < 7 ? `# note ${digit}` : '# accept injector-duty-high: it was measured';
    return { start: at, end: at, text: `${words}\n` };
  }
  const digits = [...text.matchAll(/\d/g)].map(({ index }) => index).filter(standsIn(text, where));
  const at = digits[where === 'first cell' ? 0 : pick % Math.max(1, digits.length)];
  return at === undefined ? NOTHING : { start: at, end: at + 1, text: String(digit) };
}

function behind(text: string, line: string, key: string, value: string): Change {
  const start = text.indexOf(line) + key.length;
  return { start, end: text.indexOf(line) + line.length, text: value };
}

function standsIn(text: string, where: FamilyEdit['where']): (at: number) => boolean {
  if (where === 'anywhere') return () => true;
  const pattern =
    where === 'cell' || where === 'first cell'
      ? /^ +- \[.*$/gm
      : new RegExp(`^${where}:.*(?:\n[ #].*|\n)*`, 'gm');
  const stretches = [...text.matchAll(pattern)].map(({ index, 0: { length } }) => [index, index + length]);
  return (at) => stretches.some(([start, end]) => start! <= at && at < end!);
}
