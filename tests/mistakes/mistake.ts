import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parse } from 'yaml';

/**
 * A change of a sound engine file. It is one of:
 * - `find` and `replace`: a text that occurs once, and what stands there instead; an empty one deletes it;
 * - `at` and `write`: the value at a key path, and what is written instead;
 * - `at` with `times` or `add`: changes every number of that value, such as a row of a map;
 * - `at` with `copy_of` or `exchange_with`: a value pasted over another one, or two values exchanged;
 * - `at` with `moved`: every item of a list stands this many places later; those left over at the end stand twice;
 * - `remove`: the key paths of entries that are missing.
 *
 * With `column`, it changes columns of the list of rows at `at`, and `copy_of` and `exchange_with` are columns. With several
 * places at `at`, it changes each.
 */
export interface Change {
  readonly title: string;
  /** The name of the sound engine file, without its ending. */
  readonly engine: string;
  /** The name of the changed file, if it is not the engine file. */
  readonly file?: string;
  readonly find?: string;
  readonly replace?: string;
  readonly at?: string | readonly string[];
  readonly write?: string;
  readonly times?: number;
  readonly add?: number;
  readonly copy_of?: string | number;
  readonly exchange_with?: string | number;
  readonly moved?: number;
  readonly column?: number | readonly number[];
  readonly remove?: string | readonly string[];
}

/** A realistic mistake. */
export interface Mistake extends Change {
  /** What it does to the engine or to its calibrator. */
  readonly does: string;
  /** Key paths where a finding counts; by default the edited table, or the mapping that contains the edited key. */
  readonly near?: readonly string[];
}

/** A change that a calibrator may well make, and that no check may report. */
export interface SoundChange extends Change {
  readonly because: string;
}

const ROOT = fileURLToPath(new URL('../../', import.meta.url)).replaceAll('\\', '/');
const ENGINE_FILE = '.engine.yaml';
const HERE = `${ROOT}tests/mistakes/`;

/** The mistakes by class, as `tests/mistakes/classes` contains them. */
export const mistakesByClass: ReadonlyMap<string, readonly Mistake[]> = new Map(
  readdirSync(`${HERE}classes`)
    .sort()
    .map((name) => [name.replace('.yaml', ''), parse(readFileSync(`${HERE}classes/${name}`, 'utf8'))]),
);

export const mistakes: readonly Mistake[] = [...mistakesByClass.values()].flat();

export const soundChanges: readonly SoundChange[] = parse(readFileSync(`${HERE}sound-changes.yaml`, 'utf8'));

/** Engine and controller files by name; names are unique. */
const paths: ReadonlyMap<string, string> = new Map(
  [`${ROOT}samples/`, `${HERE}engines/`, `${HERE}unusual/`].flatMap((folder) =>
    readdirSync(folder, { recursive: true, encoding: 'utf8' })
      .filter((name) => /\.(?:engine|controller)\.yaml$/.test(name) && !name.startsWith('broken'))
      .map((name): [string, string] => [name.split(/[\\/]/).pop()!, folder + name.replaceAll('\\', '/')]),
  ),
);

/** The path of a file by its name: `NAME` of an engine file, or a whole name. */
export function pathNamed(name: string): string {
  const path = paths.get(name.endsWith('.yaml') ? name : name + ENGINE_FILE);
  if (path === undefined) throw new Error(`No sound file is called ${name}.`);
  return path;
}

/** The titles of the mistakes that no check finds yet. */
export const NOT_FOUND_FILE = `${HERE}not-found.yaml`;
export const notFoundYet: readonly string[] = parse(readFileSync(NOT_FOUND_FILE, 'utf8')) ?? [];

/** The wrong warnings: for each sound file or change, `CHECK at KEY PATH` and why it is wrong. */
export const falseAlarms: Readonly<Record<string, Readonly<Record<string, string>>>> =
  parse(readFileSync(`${HERE}false-alarms.yaml`, 'utf8')) ?? {};

/** The sound files made for this test: other layouts, and unusual installations with their controllers. */
export const soundNames: readonly string[] = ['engines', 'unusual'].flatMap((folder) =>
  readdirSync(HERE + folder)
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => name.replace(ENGINE_FILE, ''))
    .sort(),
);

/** The engine files among them. */
export const soundEngines: readonly string[] = soundNames.filter((name) => !name.endsWith('.yaml'));
