import type { Shape } from '../../shared/configuration/shape.ts';
import { describeKind, measuredQuantity } from '../../shared/quantity/index.ts';
import { bold, code, paragraphs, plain } from '../markdown.ts';

/** What a place holds, in words of Markdown: ``a length, such as `76 mm` ``. */
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
  if (range) return `a range, \`LOW..HIGH\`, of ${describeKind(range)}`;
  if (relation) return `pairs: ${describeKind(relation.from)}, to ${describeKind(relation.to)}`;
  if (names) return `the name of a ${names}`;
  if (file) return `the path of ${file === 'engine' ? 'an engine' : 'a controller'} file`;
  if (shape.unitOf) return 'a unit';
  if (primitive === 'boolean') return '`true` or `false`';
  return primitive === 'integer' ? 'a whole number' : undefined;
}

function axisWords(quantities: readonly string[]): string {
  const labels = quantities.map((name) => measuredQuantity(name)?.entry.label.toLowerCase() ?? 'a quantity');
  return labels.join(' or ');
}

/** The page of a key: what it is called, what it holds, what it is for and what is usual. */
export function keyPage(shape: Shape, key: string): string {
  const { label, description, usual } = shape;
  const holds = contents(shape);
  return paragraphs(
    `${bold(label ?? key)}${holds ? ` · ${holds}` : ''}`,
    description && plain(description),
    usual && usualWords(usual),
  );
}

export function usualWords(usual: string): string {
  return `Usual: ${code(usual)} (common practice, no source)`;
}
