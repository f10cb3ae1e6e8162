import { type CompletionItem, CompletionItemKind } from 'vscode-languageserver';
import type { Analysis } from '../../../shared/analysis.ts';
import { rootShape } from '../../../shared/configuration/schemas.ts';
import { shapeAt } from '../../../shared/configuration/shape.ts';
import { measuredQuantity, unitTexts } from '../../../shared/quantity/index.ts';
import type { Kind } from '../../../shared/quantity/kinds.ts';
import type { MappingNode, Node, PathStep } from '../../../shared/source/tree.ts';
import { settingAt } from '../check-settings.ts';
import type { Cursor } from './cursor.ts';

const NUMBER = /^\s*[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?/i;
const RANGE = /^\s*[-+]?[\d.]+?\.\.[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?/i;

/** The units that fit: after a number, or alone as the value of `unit`. */
export function unitItems(analysis: Analysis, cursor: Cursor): { items: CompletionItem[]; typed: number } {
  const wanted = wantedUnit(analysis, cursor);
  if (!wanted) return { items: [], typed: 0 };
  const number = wanted.behind?.exec(cursor.before)?.[0];
  if (wanted.behind && number === undefined) return { items: [], typed: 0 };
  const typed = number === undefined ? 0 : number.length;
  const items = unitTexts(wanted.kind).map((label, index) => ({
    label,
    kind: CompletionItemKind.Unit,
    insertText: spelled(label, wanted.behind !== undefined, cursor),
    sortText: String(index).padStart(4, '0'),
    // The space before the unit is part of the replaced text, so the filter must contain it.
    filterText: wanted.behind ? ` ${label}` : label,
  }));
  return { items, typed };
}

/** A YAML value that begins with a percent sign needs quotes. */
function spelled(unit: string, isBehindNumber: boolean, { isQuoted }: Cursor): string {
  if (isBehindNumber) return ` ${unit}`;
  return unit.startsWith('%') && !isQuoted ? `"${unit}"` : unit;
}

/** The kind of quantity at the cursor, and the text that must precede its unit. */
function wantedUnit(
  analysis: Analysis,
  { role, path, parent }: Cursor,
): { kind: Kind; behind?: RegExp } | undefined {
  const root = rootShape(analysis.kind);
  const around = shapeAt(root, role === 'key' ? path : path.slice(0, -1));
  if (around?.relation) {
    const kind = role === 'key' ? around.relation.from : around.relation.to;
    return { kind: settled(kind, parent, path), behind: NUMBER };
  }
  const setting = role === 'value' ? settingAt(analysis.kind, path) : undefined;
  if (setting) return { kind: setting.kind, behind: NUMBER };
  const shape = role === 'value' ? shapeAt(root, path) : undefined;
  if (shape?.unitOf === 'axis') return axisKind(parent);
  if (shape?.unitOf === 'values') return around?.table && { kind: settled(around.table.unit, parent, path) };
  if (shape?.range) return { kind: settled(shape.range, parent, path), behind: RANGE };
  return shape?.quantity && { kind: settled(shape.quantity, parent, path), behind: NUMBER };
}

function axisKind(axis: Cursor['parent']): { kind: Kind } | undefined {
  const quantity = axis?.type === 'mapping' ? axis.get('quantity') : undefined;
  const measured = quantity?.type === 'scalar' ? measuredQuantity(quantity.text) : undefined;
  return measured && { kind: measured.entry.kind };
}

/** The kind where another key decides it: the quantity of the sensor, limit or signal. */
function settled(kind: Kind, parent: Cursor['parent'], path: readonly PathStep[]): Kind {
  if (kind !== 'any') return kind;
  for (let at: Node | undefined = parent; at; at = at.parent) {
    const partner = at.type === 'mapping' ? partnerOf(at) : undefined;
    if (partner) return partner;
  }
  const names = path.map((step) => measuredQuantity(String(step))).filter((found) => found !== undefined);
  return names.at(-1)?.entry.kind ?? kind;
}

function partnerOf(mapping: MappingNode): Kind | undefined {
  for (const key of ['measures', 'watches']) {
    const node = mapping.get(key);
    const measured = node?.type === 'scalar' ? measuredQuantity(node.text) : undefined;
    if (measured) return measured.entry.kind;
  }
  return undefined;
}
