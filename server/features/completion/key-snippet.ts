import type { Shape } from '../../../shared/configuration/shape.ts';
import { exampleUnit, isFault, parseRange } from '../../../shared/quantity/index.ts';

/**
 * The snippet that completion inserts for a key: its name and the form of its value with stops to fill in. It contains no
 * numbers, because a proposed value would look like a chosen one.
 */
export function keySnippet(key: string, shape: Shape, isFlow: boolean): string {
  const value = valueSnippet(shape, isFlow);
  return `${key}:${value.startsWith('\n') ? '' : ' '}${value}`;
}

function valueSnippet(shape: Shape, isFlow: boolean): string {
  const { choices, quantity, range, relation, snippet, primitive } = shape;
  if (choices) return choices.length > 1 ? `\${1|${choices.map(escaped).join(',')}|}` : String(choices[0]);
  if (quantity) return behindNumber('$1', usualUnit(shape) ?? exampleUnit(quantity));
  if (range) return behindNumber('$1..$2', exampleUnit(range));
  if (snippet && !isFlow) return block(snippet);
  if (relation) return '{ $1 }';
  if (shape.items && shape.properties.size === 0) return '[$1]';
  if (primitive === 'boolean') return `\${1|true,false|}`;
  const isMapping = shape.properties.size > 0 || shape.others !== undefined;
  if (isMapping) return isFlow ? '{ $1 }' : block('$1');
  return '$1';
}

function block(text: string): string {
  return `\n${text.replace(/^/gm, '  ')}`;
}

function behindNumber(number: string, unit: string): string {
  return unit === '' ? number : `${number} ${unit}`;
}

function escaped(choice: string | number | boolean): string {
  return String(choice).replace(/[\\,|$}]/g, '\\$&');
}

/** The unit of the usual range, which fits better than one unit for all lengths. */
function usualUnit({ quantity, usual }: Shape): string | undefined {
  if (!quantity || !usual) return undefined;
  const range = parseRange(quantity, usual);
  return isFault(range) ? undefined : usual.replace(/^\S+\s*/, '');
}
