import type { Severity } from '../shared/checks/check.ts';
import { splitUnit, type Unit } from '../shared/quantity/index.ts';
import { type PreferredUnits, preferredUnits } from './preferred-units.ts';

/** How many hints there are: those of operating points and worst cases alone, or every one. */
export type Density = 'few' | 'all';

/** What a user may set under `enginewright.` */
export interface Settings {
  readonly inlayHints: { readonly enabled: boolean; readonly density: Density };
  readonly codeLenses: { readonly enabled: boolean };
  /** By the id of a check, what its findings count as. None can be turned off here: a file accepts, with its reason. */
  readonly severities: ReadonlyMap<string, Severity>;
  readonly units: PreferredUnits;
  /** A configuration may lead to files outside the folders that are open. */
  readonly filesOutsideWorkspace: boolean;
}

/** Reads whatever an editor sends; what is not understood keeps its default. */
export function readSettings(sent: unknown): Settings {
  const { inlayHints, codeLenses, severities, units, filesOutsideWorkspace } = section(sent);
  return {
    inlayHints: {
      enabled: section(inlayHints).enabled !== false,
      density: section(inlayHints).density === 'few' ? 'few' : 'all',
    },
    codeLenses: { enabled: section(codeLenses).enabled !== false },
    severities: new Map(Object.entries(section(severities)).filter(isSeverity)),
    units: preferredUnits(unitsIn(units)),
    filesOutsideWorkspace: filesOutsideWorkspace === true,
  };
}

function section(sent: unknown): Readonly<Record<string, unknown>> {
  return typeof sent === 'object' && sent !== null ? (sent as Record<string, unknown>) : {};
}

const SEVERITIES: readonly unknown[] = ['error', 'warning', 'information', 'hint'];

function isSeverity(entry: [string, unknown]): entry is [string, Severity] {
  return SEVERITIES.includes(entry[1]);
}

function unitsIn(sent: unknown): Unit[] {
  const texts = Array.isArray(sent) ? sent : [];
  return texts.flatMap((text) => (typeof text === 'string' ? (splitUnit(text)?.unit ?? []) : []));
}
