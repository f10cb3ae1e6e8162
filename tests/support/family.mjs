// Families of files, for tests that compare what is shown of a file among others with what is shown of it alone: a base
// file, overlays of it and of each other, and controller files, all slightly changed copies of fixtures and samples.
import { readFileSync } from 'node:fs';
import { posix } from 'node:path';

/**
 * Where an edit may be made: in a section, or in the first cell of a map, which no operating point of the fixtures
 * reads.
 */
export const WHERE = [
  ...['first cell', 'first cell', 'cell', 'cell', 'cell', 'comment', 'anywhere', 'based_on', 'controller'],
  ...['sensors', 'protection', 'bus', 'operating_points', 'map_sets', 'fuel', 'harness', 'checks'],
];

/**
 * The sections that an overlay may write, whole or one entry. Those with maps are more frequent, because they share
 * most results.
 */
export const SECTIONS = [
  ...['fuel', 'fuel', 'fuel', 'ignition', 'ignition', 'boost', 'sensors', 'map_sets', 'operating_points'],
  ...['protection', 'bus', 'outputs', 'checks', 'closed_loop', 'gearbox', 'propeller'],
];

/** The files that a family begins with; the first is the base file. */
export const ROOTS = [
  filesIn('tests/fixtures', ['complete.engine.yaml', 'complete.controller.yaml']),
  filesIn('samples/dotterel', [
    'dotterel-16t.engine.yaml',
    'dotterel-16t-mountain.engine.yaml',
    'four-channel.controller.yaml',
  ]),
  filesIn('samples/sanderling', ['sanderling-10t.engine.yaml', 'three-channel.controller.yaml']),
];

function filesIn(folder, names) {
  const textOf = (name) => readFileSync(new URL(`../../${folder}/${name}`, import.meta.url), 'utf8');
  return new Map(names.map((name) => [name, textOf(name)]));
}

/** A base file and overlays of it or of each other, each with some slightly changed sections. */
export function familyOf({ root, overlays }) {
  const files = new Map(ROOTS[root]);
  const [base] = files.values();
  for (const [i, { on, parts, controller, isBelow, edits }] of overlays.entries()) {
    const below = enginesOf(files);
    const name = `${isBelow ? 'below/' : ''}overlay-${i}.engine.yaml`;
    const named = (other) => referenceTo(other, name);
    const own = parts.map((part) => partOf(base, part)).join('');
    let text = `enginefile: 1\nbased_on: ${named(below[on % below.length])}\ntitle: Overlay ${i}\n${own}`;
    for (const edit of edits) text = edited(text, changeOf(text, edit, below.map(named)));
    files.set(name, controller ? `${text}controller: ${named('other.controller.yaml')}\n` : text);
  }
  const [, stated] = [...files].find(([name]) => name.includes('.controller.'));
  files.set('other.controller.yaml', stated.replace('resolution: 12 bit', 'resolution: 10 bit'));
  return files;
}

/** The reference from one file of a family to another, relative to its own folder. */
export function referenceTo(name, from) {
  const way = posix.relative(posix.dirname(from), name);
  return way.startsWith('.') ? way : `./${way}`;
}

export const enginesOf = (files) => [...files.keys()].filter((name) => name.includes('.engine.'));

function partOf(text, { section, entry }) {
  const whole = text.split(/^(?=\w)/m).find((one) => one.startsWith(`${section}:`)) ?? '';
  const [head, ...entries] = whole.split(/^(?= {2}\w)/m);
  // If the section has tables, take one of these: the others remain shared with the base file.
  const tables = entries.filter((one) => one.includes('breakpoints:'));
  const some = tables.length > 0 ? tables : entries;
  return entry === null || some.length === 0 ? whole : `${head}${some[entry % some.length]}`;
}

export const edited = (text, { start, end, text: put }) => text.slice(0, start) + put + text.slice(end);

const NOTHING = { start: 0, end: 0, text: '' };

/**
 * The change that an edit makes in a text, empty if the text has no such place. `names` are the references that it may
 * write.
 */
export function changeOf(text, { where, pick, digit }, names) {
  if (where === 'based_on' || where === 'controller') {
    const found = new RegExp(`^${where}: (.*)$`, 'm').exec(text);
    const alike = names.filter((name) => name.includes('.controller.') === (where === 'controller'));
    if (!found || alike.length === 0) return NOTHING;
    const end = found.index + found[0].length;
    return { start: end - found[1].length, end, text: alike[pick % alike.length] };
  }
  if (where === 'comment') {
    const lines = [...text.matchAll(/^/gm)].map(({ index }) => index);
    const at = lines[pick % lines.length];
    const words = digit < 7 ? `# note ${digit}` : '# accept injector-duty-high: it was measured';
    return { start: at, end: at, text: `${words}\n` };
  }
  const digits = [...text.matchAll(/\d/g)].map(({ index }) => index).filter(isWrittenIn(text, where));
  const at = digits[where === 'first cell' ? 0 : pick % Math.max(1, digits.length)];
  return at === undefined ? NOTHING : { start: at, end: at + 1, text: String(digit) };
}

function isWrittenIn(text, where) {
  if (where === 'anywhere') return () => true;
  const isCell = where === 'cell' || where === 'first cell';
  const pattern = isCell ? /^ +- \[.*$/gm : new RegExp(`^${where}:.*(?:\n[ #].*|\n)*`, 'gm');
  const stretches = [...text.matchAll(pattern)].map(({ index, 0: { length } }) => [index, index + length]);
  return (at) => stretches.some(([start, end]) => start <= at && at < end);
}
