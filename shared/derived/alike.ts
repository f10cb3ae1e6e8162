import type { Engine } from '../configuration/installation.ts';
import type { Axis, TableValue } from '../configuration/values.ts';

type SectionName = keyof Engine['configuration'];

/**
 * Whether two versions of an engine differ only in table cells, and only in some sections. Axes and units are the same, and
 * so is whether the cells are complete.
 */
export function differInCellsOnly(before: Engine, now: Engine, sections: readonly SectionName[]): boolean {
  const names = [...new Set([...Object.keys(before.configuration), ...Object.keys(now.configuration)])];
  return (names as SectionName[]).every((name) => {
    const [old, current] = [before.configuration[name], now.configuration[name]];
    return old === current || (sections.includes(name) && isAlike(old, current));
  });
}

function isAlike(one: unknown, other: unknown): boolean {
  if (one === other) return true;
  if (!isObject(one) || !isObject(other)) return false;
  if (isTable(one) && isTable(other)) return hasShapeOf(one, other);
  // Bound values that are not the same object may differ; a section is rebuilt around a change, so its keys are compared.
  if (isBound(one) || isBound(other)) return false;
  const names = Object.keys(one);
  return (
    names.length === Object.keys(other).length &&
    names.every((name) => name in other && isAlike(one[name], other[name]))
  );
}

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null;

const isBound = (value: Record<string, unknown>): boolean => typeof value.type === 'string';

const isTable = (value: object): value is TableValue => (value as { type?: unknown }).type === 'table';

function hasShapeOf(one: TableValue, other: TableValue): boolean {
  return (
    one.kind === other.kind &&
    one.unit === other.unit &&
    one.reference === other.reference &&
    one.isMap === other.isMap &&
    one.tolerance?.share === other.tolerance?.share &&
    one.tolerance?.width === other.tolerance?.width &&
    isAxis(one.x, other.x) &&
    isAxis(one.y, other.y) &&
    !one.cells === !other.cells
  );
}

function isAxis(one: Axis | undefined, other: Axis | undefined): boolean {
  if (!one || !other) return one === other;
  return (
    one.quantity === other.quantity &&
    one.unit === other.unit &&
    one.reference === other.reference &&
    one.breakpoints.length === other.breakpoints.length &&
    one.breakpoints.every((point, i) => point === other.breakpoints[i])
  );
}
