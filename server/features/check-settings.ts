import type { Analysis } from '../../shared/analysis.ts';
import type { Setting } from '../../shared/checks/check.ts';
import { checkNamed } from '../../shared/checks/registry.ts';
import { rootShape } from '../../shared/configuration/schemas.ts';
import { shapeAt } from '../../shared/configuration/shape.ts';
import { describeKind } from '../../shared/quantity/index.ts';
import type { PathStep } from '../../shared/source/tree.ts';
import { code, paragraphs, prose } from '../markdown.ts';

/**
 * The thresholds that can be set in a mapping, by name: those of the check under whose id it is written; none elsewhere.
 * They are defined by the checks, not by the schema.
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

/** A threshold with its meaning and its default. */
export function settingPage(name: string, { kind, value, meaning }: Setting): string {
  return paragraphs(`${code(name)} · ${describeKind(kind)}`, prose(meaning), `Default: ${code(value)}`);
}
