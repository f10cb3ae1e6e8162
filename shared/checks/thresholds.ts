import { internList, memo } from '../memo.ts';
import { isFault, parseAs } from '../quantity/index.ts';
import type { CheckDefinition, Setting, Subject } from './check.ts';

/** Thresholds in canonical units, under the names of their settings. */
export type Thresholds<Settings extends string = string> = Readonly<Record<Settings, number>>;

/** The settings of a check, and the ID under which a file changes them. */
export type SettingsOf<Settings extends string = string> = Pick<CheckDefinition<Settings>, 'id' | 'settings'>;

/**
 * The thresholds of a check: its defaults, or those that the file sets under `checks:` with a reason. Equal thresholds are the
 * same object, so that results can be cached by them. A check that leaves out what another reports asks for the thresholds
 * of that one.
 */
export function thresholdsOf<Settings extends string>(
  { id, settings }: SettingsOf<Settings>,
  { departures }: Pick<Subject, 'departures'>,
): Thresholds<Settings> {
  const usual = usualThresholds(settings ?? NONE);
  // Only an entry with a reason counts; the schema requires the reason.
  const stated = departures.flatMap((section) => {
    const own = section.get(id);
    return own?.type === 'mapping' && own.get('reason') ? [own] : [];
  });
  if (stated.length === 0) return usual;
  const all: Readonly<Record<string, Setting>> = settings ?? NONE;
  return interned(
    Object.entries(all).map(([name, { kind }]) => {
      const written = stated.map((own) => own.get(name)).find((node) => node?.type === 'scalar');
      return [name, (written && canonical(kind, written.text)) ?? (usual as Thresholds)[name]!] as const;
    }),
  );
}

/** The thresholds of two checks as one input of a cached function: the same object for the same ones. */
export const together = memo(
  <One extends Thresholds, Other extends Thresholds>(one: One, other: Other): readonly [One, Other] => [
    one,
    other,
  ],
);

const NONE = {};

const usualThresholds = memo(
  (settings: Readonly<Record<string, Setting>>): Thresholds =>
    interned(Object.entries(settings).map(([name, { kind, value }]) => [name, canonical(kind, value)!])),
);

function interned(entries: readonly (readonly [name: string, value: number])[]): Thresholds {
  return named(internList(entries.map(([name]) => name)), internList(entries.map(([, value]) => value)));
}

const named = memo(
  (names: readonly string[], values: readonly number[]): Thresholds =>
    Object.fromEntries(names.map((name, i) => [name, values[i]!])),
);

function canonical(kind: Setting['kind'], text: string): number | undefined {
  const read = parseAs(kind, text);
  return isFault(read) ? undefined : read.canonical;
}
