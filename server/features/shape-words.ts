import type { Shape } from '../../shared/configuration/shape.ts';
import { describeKind, measuredQuantity } from '../../shared/quantity/index.ts';
import { bold, code, paragraphs, prose } from '../markdown.ts';

/** The values that a place accepts, as Markdown: ``a length, such as `76 mm` ``. */
export function contents(shape: Shape): string | undefined {
  const { quantity, range, table, relation, choices, names, file, primitive } = shape;
  if (table) {
    const axes = table.y ? `${axisWords(table.x)} and ${axisWords(table.y)}` : axisWords(table.x);
    const kind = `a ${table.y ? 'map' : 'curve'} over ${axes}`;
    return quantity
      ? `${describeKind(quantity)}, or ${kind}`
      : `${kind}; each value is ${describeKind(table.unit)}`;
  }
  if (choices) return `one of ${choices.map((choice) => code(String(choice))).join(', ')}`;
  if (quantity) return describeKind(quantity);
  if (range) return `a range \`LOW..HIGH\`; each end is ${describeKind(range)}`;
  if (relation) return `pairs of ${describeKind(relation.from)}, and ${describeKind(relation.to)}`;
  if (names) return `the name of ${/^[aeiou]/.test(names) ? 'an' : 'a'} ${names}`;
  if (file) return `the path of ${file === 'engine' ? 'an engine' : 'a controller'} file`;
  if (shape.unitOf) return 'a unit';
  if (primitive === 'boolean') return '`true` or `false`';
  return primitive === 'integer' ? 'a whole number' : undefined;
}

function axisWords(quantities: readonly string[]): string {
  const labels = quantities.map((name) => measuredQuantity(name)?.entry.label.toLowerCase() ?? 'a quantity');
  return labels.join(' or ');
}

/** The page of a key: its label, the values that it accepts, its description and its usual range. */
export function keyPage(shape: Shape, key: string): string {
  const { label, description, usual } = shape;
  const holds = contents(shape);
  return paragraphs(
    `${bold(label ?? key)}${holds ? ` · ${holds}` : ''}`,
    description && prose(description),
    usual && usualWords(usual),
  );
}

export function usualWords(usual: string): string {
  return `Usual: ${code(usual)} (common practice, no source)`;
}
