import { customaryUnit } from '../configuration/bounds.ts';
import { childShape, type Shape, type TableShape } from '../configuration/shape.ts';
import { measuredQuantity } from '../quantity/index.ts';
import type { NewValue } from '../source/edit.ts';
import { PLACEHOLDER, scalarText } from './form-words.ts';

/**
 * What the fix for a missing key inserts: the keys and units, and a placeholder for every number, name and choice, because
 * only the calibrator knows those. Each placeholder is a finding until it is filled in.
 */
export function skeleton(shape: Shape, parent: Shape | undefined, key: string): NewValue {
  if (shape.choices?.length === 1) return { line: String(shape.choices[0]) };
  if (shape.quantity) return { line: withUnit(PLACEHOLDER, customaryUnit(shape, shape.quantity)) };
  if (shape.range)
    return { line: withUnit(`${PLACEHOLDER}..${PLACEHOLDER}`, customaryUnit(shape, shape.range)) };
  if (shape.table) return tableSkeleton(shape.table, customaryUnit(shape, shape.table.unit));
  if (parent?.table && (key === 'x' || key === 'y')) return { line: axisSkeleton(parent.table[key]) };
  if (shape.items && shape.properties.size === 0) return { line: '[]' };
  if (shape.relation || shape.properties.size === 0) return { line: shape.others ? '{}' : PLACEHOLDER };
  return sectionSkeleton(shape);
}

function sectionSkeleton(shape: Shape): NewValue {
  const parts = shape.required.map((key) => {
    const child = childShape(shape, key);
    return { key, value: child ? skeleton(child, shape, key) : { line: PLACEHOLDER } };
  });
  if (parts.length === 0) return { line: '{}' };
  return {
    line: `{ ${parts.map(({ key, value }) => `${key}: ${value.line}`).join(', ')} }`,
    block: parts.flatMap(({ key, value }) =>
      value.block ? [`${key}:`, ...value.block.map((line) => `  ${line}`)] : [`${key}: ${value.line}`],
    ),
  };
}

function tableSkeleton(table: TableShape, unit: string): NewValue {
  const lines = [
    `x: ${axisSkeleton(table.x)}`,
    ...(table.y ? [`y: ${axisSkeleton(table.y)}`] : []),
    ...(unit === '' ? [] : [`unit: ${scalarText(unit)}`]),
    'values: []',
  ];
  return { line: `{ ${lines.join(', ')} }`, block: lines };
}

function axisSkeleton(quantities: readonly string[] | undefined): string {
  const [name = 'any'] = quantities ?? [];
  const unit = measuredQuantity(name)?.entry.unit;
  const parts = [
    `quantity: ${name === 'any' ? PLACEHOLDER : name}`,
    ...(unit ? [`unit: ${scalarText(unit)}`] : []),
    'breakpoints: []',
  ];
  return `{ ${parts.join(', ')} }`;
}

const withUnit = (number: string, unit: string): string => `${number} ${unit}`.trim();
