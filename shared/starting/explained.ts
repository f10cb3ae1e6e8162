import { skeleton } from '../checks/form-skeleton.ts';
import { childShape, type Shape } from '../configuration/shape.ts';
import type { Content, Outline } from './outline.ts';

/** Short enough for an editor beside other views. */
const WIDTH = 90;

/** The outline as YAML. Each key that the schema describes has a comment where it first appears. */
export function explained(outline: Outline, shape: Shape): string {
  const writer = new Writer();
  return Object.entries(outline)
    .map(([key, content]) => {
      const lines = writer.entry(key, content, shape, '');
      return `${[...(typeof content === 'object' ? [''] : []), ...lines].join('\n')}\n`;
    })
    .join('');
}

/** Writes lines, each with its indent. */
class Writer {
  readonly #explained = new Set<Shape>();

  entry(key: string, content: Content, parent: Shape, indent: string): string[] {
    const shape = childShape(parent, key);
    if (!shape) throw new Error(`the format has no key ${key}`);
    return [...this.#comment(shape, indent), ...this.#value(key, content, { shape, parent, indent })];
  }

  #value(key: string, content: Content, { shape, parent, indent }: Place): string[] {
    if (typeof content === 'object') {
      const inner = Object.entries(content).flatMap(([name, one]) =>
        this.entry(name, one, shape, `${indent}  `),
      );
      return inBraces(`${indent}${key}`, inner) ?? [`${indent}${key}:`, ...inner];
    }
    if (typeof content === 'string') return [`${indent}${key}: ${content}`];
    const { line, block } = skeleton(shape, parent, key);
    if (!block) return [`${indent}${key}: ${line}`];
    return [`${indent}${key}:`, ...block.map((one) => `${indent}  ${one}`)];
  }

  #comment(shape: Shape, indent: string): string[] {
    if (this.#explained.has(shape)) return [];
    this.#explained.add(shape);
    return commentLines(wordsOf(shape), indent);
  }
}

interface Place {
  readonly shape: Shape;
  readonly parent: Shape;
  readonly indent: string;
}

/** A section of short values without comments on one line; undefined if it does not fit. */
function inBraces(head: string, lines: readonly string[]): string[] | undefined {
  const entries = lines.map((line) => line.trimStart());
  const line = `${head}: { ${entries.join(', ')} }`;
  return entries.every((entry) => /^\w+: \S/.test(entry)) && line.length <= WIDTH ? [line] : undefined;
}

function wordsOf({ description, choices, usual, items }: Shape): string {
  const all = choices ?? items?.choices;
  return [
    description,
    all && all.length > 1 && `${items ? 'Any of' : 'One of'} ${all.join(', ')}.`,
    usual && `Usual: ${usual}.`,
  ]
    .filter(Boolean)
    .join(' ');
}

/** A comment wrapped between words to the width. */
export function commentLines(text: string, indent = ''): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ').filter(Boolean)) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= WIDTH)
      lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(`${indent}# ${word}`);
  }
  return lines;
}
