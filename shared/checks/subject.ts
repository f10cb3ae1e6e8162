import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Engine, Installation } from '../configuration/installation.ts';
import { sameItems } from '../configuration/same-value.ts';
import { SECTIONS, TEXT } from '../configuration/sections.ts';
import { tracked } from '../memo.ts';
import type { Subject } from './check.ts';

/** The parts of a subject that are compared with the previous version, besides the sections of its engines. */
const COMPARED = ['syntax', 'structure', 'binding', 'tables', 'links', 'departures'] as const;
const CONTROLLER = 'the controller file';
const ENGINES = 'which map sets there are';

/** The parts that the keys of a subject belong to; keys that are not listed belong to the text. */
const ofSubject = new Map<string | symbol, string | undefined>([
  // These track their own reads, and the shape and path of a file never change.
  ['installation', undefined],
  ['derivation', undefined],
  ['rootShape', undefined],
  ['path', undefined],
  ['controller', CONTROLLER],
  ...COMPARED.map((name) => [name, name] as const),
]);

const ofInstallation = new Map<string | symbol, string | undefined>([
  ['configuration', undefined],
  ['engines', ENGINES],
  ['selectable', ENGINES],
  ['controller', CONTROLLER],
  ['standby', CONTROLLER],
]);

const from = (parts: typeof ofSubject) => (key: string | symbol) => (parts.has(key) ? parts.get(key) : TEXT);

/** A subject that tracks which of its parts are read. */
export const trackedSubject = (subject: Subject): Subject => tracked(subject, from(ofSubject), TEXT);

export const trackedInstallation = (installation: Installation): Installation =>
  tracked(installation, from(ofInstallation), TEXT);

/** The parts that differ from the earlier subject of the same file; undefined where they cannot be compared. */
export function changedParts(earlier: Subject, now: Subject): ReadonlySet<string> | undefined {
  const [before, engines] = [earlier, now].map(({ installation }) => installation?.engines ?? []);
  if (earlier.path !== now.path || !sameItems(before!.map(mapSetOf), engines!.map(mapSetOf)))
    return undefined;
  const [old, current] = [earlier, now].map(configurationsOf);
  const isTextSame = earlier.file === now.file && sameItems(filesOf(earlier), filesOf(now));
  return new Set<string>([
    ...(sameItems(controllersOf(earlier), controllersOf(now)) ? [] : [CONTROLLER]),
    ...COMPARED.filter((name) => !sameItems(earlier[name], now[name])),
    ...(isTextSame ? [] : [TEXT]),
    ...SECTIONS.filter((name) =>
      current!.some((configuration, i) => configuration[name] !== old![i]?.[name]),
    ),
  ]);
}

/** What the standby controller runs follows from several sections; it is there in both versions, or else `CONTROLLER` differs. */
const configurationsOf = ({ installation }: Subject): readonly EngineConfiguration[] =>
  [...(installation?.engines ?? []), installation?.standby].flatMap((one) => one?.configuration ?? []);

const controllersOf = ({ controller, installation }: Subject) => [
  controller,
  installation?.standby !== undefined,
  installation?.standby?.controller,
];

const mapSetOf = ({ mapSet }: Engine) => mapSet;

const filesOf = ({ installation, file }: Subject) => installation?.files ?? [file];
