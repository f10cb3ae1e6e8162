import type { Severity } from '../shared/checks/check.ts';
import { splitUnit, type Unit } from '../shared/quantity/index.ts';
import { type PreferredUnits, preferredUnits } from './preferred-units.ts';

/** Which hints are shown: operating points and the most important limits, or all. */
export type Density = 'few' | 'all';

/** The settings under `enginewright.` */
export interface Settings {
  readonly inlayHints: { readonly enabled: boolean; readonly density: Density };
  readonly codeLenses: { readonly enabled: boolean };
  /** The severity of a check's findings, by the id of the check. A check cannot be turned off here. */
  readonly severities: ReadonlyMap<string, Severity>;
  readonly units: PreferredUnits;
  /** Whether a configuration may use files outside the open folders. */
  readonly filesOutsideWorkspace: boolean;
}

/** Reads whatever an editor sends; unknown or invalid values keep their defaults. */
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
