import type { Analysis } from '../../shared/analysis.ts';
import type { Setting } from '../../shared/checks/check.ts';
import { checkNamed } from '../../shared/checks/registry.ts';
import { rootShape } from '../../shared/configuration/schemas.ts';
import { shapeAt } from '../../shared/configuration/shape.ts';
import { describeKind } from '../../shared/quantity/index.ts';
import type { PathStep } from '../../shared/source/tree.ts';
import { bold, code, paragraphs, plain } from '../markdown.ts';

/**
 * The thresholds that may be moved in a mapping, by name: those of the check that it is for, none elsewhere. The schema
 * knows that there are some, only the checks know which.
 */
export function settingsAt(
  kind: Analysis['kind'],
  mapping: readonly PathStep[],
): ReadonlyMap<string, Setting> {
  const around = mapping.length > 0 ? shapeAt(rootShape(kind), mapping.slice(0, -1)) : undefined;
  const check = around?.keyNames === 'check' ? checkNamed(String(mapping.at(-1))) : undefined;
  return new Map(Object.entries(check?.settings ?? {}));
}

export function settingAt(kind: Analysis['kind'], path: readonly PathStep[]): Setting | undefined {
  return settingsAt(kind, path.slice(0, -1)).get(String(path.at(-1)));
}

/** What a threshold limits, and where it stands in a file that says nothing of it. */
export function settingPage(name: string, { kind, value, meaning }: Setting): string {
  return paragraphs(
    `${bold(name)} · ${describeKind(kind)}`,
    plain(meaning),
    `${code(value)} unless the file says otherwise.`,
  );
}
