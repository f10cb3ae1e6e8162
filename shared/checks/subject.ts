import type { Engine, Installation } from '../configuration/installation.ts';
import {
  EVERYTHING,
  NOTHING,
  type PartName,
  type Parts,
  part,
  SECTIONS,
  section,
  telling,
} from '../configuration/parts.ts';
import { sameItems } from '../configuration/same-value.ts';
import type { Subject } from './check.ts';

/** What is looked at with each key of a subject; what is not listed here belongs to the text. */
const ofSubject: Readonly<Partial<Record<string, Parts>>> = {
  // They tell themselves what of them is looked at, and what shape a file has never changes.
  installation: NOTHING,
  derivation: NOTHING,
  rootShape: NOTHING,
  controller: part('controller file'),
  syntax: part('syntax'),
  structure: part('structure'),
  binding: part('binding'),
  path: NOTHING,
  // Read anew with every version of the text, though most of its sections are those of the last.
  read: part('text'),
  tables: part('tables'),
  links: part('links'),
};

const ofInstallation: Readonly<Partial<Record<string, Parts>>> = {
  configuration: NOTHING,
  engines: part('engines'),
  selectable: part('engines'),
  controller: part('controller file'),
};

const from =
  (parts: Readonly<Partial<Record<string | symbol, Parts>>>) =>
  (key: string | symbol): Parts =>
    parts[key] ?? part('text');

/** A subject that tells which parts of it are looked at. */
export const watchedSubject = (subject: Subject): Subject => telling(subject, from(ofSubject));

export const watchedInstallation = (installation: Installation): Installation =>
  telling(installation, from(ofInstallation));

/** The parts of which a check may see another thing than it saw in the earlier subject of the same file. */
export function changedParts(earlier: Subject, now: Subject): Parts {
  if (earlier.file.path !== now.file.path) return EVERYTHING;
  let changed = earlier.controller === now.controller ? NOTHING : part('controller file');
  for (const name of ['syntax', 'structure', 'binding', 'tables', 'links'] as const)
    if (!sameItems(earlier[name], now[name])) changed |= part(name);
  if (earlier.file !== now.file || !sameItems(filesOf(earlier), filesOf(now))) changed |= part('text');
  return changed | changedSections(earlier.installation?.engines ?? [], now.installation?.engines ?? []);
}

const filesOf = ({ installation, file }: Subject) => installation?.files ?? [file];

function changedSections(earlier: readonly Engine[], now: readonly Engine[]): Parts {
  const sameSets = sameItems(
    earlier.map(({ mapSet }) => mapSet),
    now.map(({ mapSet }) => mapSet),
  );
  if (!sameSets) return EVERYTHING;
  const differs = (name: PartName) =>
    now.some(
      ({ configuration }, i) => configuration[name as never] !== earlier[i]!.configuration[name as never],
    );
  return SECTIONS.filter(differs).reduce((parts, name) => parts | section(name), NOTHING);
}
