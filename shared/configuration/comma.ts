import { type MappingNode, type Node, type ScalarNode, type Span, sourceText } from '../source/tree.ts';

/** A number with a decimal comma. In braces the comma ends the entry: `{ 0,5 V: 1 ms }`. */
export interface CommaSplit {
  /** From the digits before the comma to the end of the unit. */
  readonly span: Span;
  readonly text: string;
  /** The whole number, with its comma. */
  readonly number: string;
  /** The node for the part before the comma: the value of an entry, or a key without a value. */
  readonly first: ScalarNode;
  /** The key that was parsed from the part after the comma. */
  readonly last: ScalarNode;
  /** Whether the part before the comma is a key. */
  readonly inKey: boolean;
  /** The nodes that result from the split. */
  readonly spoilt: readonly Node[];
}

/** The numbers in a mapping in braces that are split by a decimal comma. */
export function commaSplits({ flow, entries }: MappingNode): CommaSplit[] {
  if (!flow) return [];
  return entries.flatMap(({ key: last, value }, index) => {
    const before = entries[index - 1];
    if (!before) return [];
    const isEmpty = (node: Node) => node.type === 'scalar' && node.style === 'empty';
    const inKey = isEmpty(before.value);
    const first = inKey ? before.key : before.value;
    if (first.type !== 'scalar' || first.chunk !== last.chunk || (!inKey && !isEmpty(value))) return [];
    const span = { chunk: last.chunk, start: first.start, end: last.end };
    const text = sourceText(span);
    const number = /^[-+]?\d+,\d+(\.\d+)?(?= |$)/.exec(text)?.[0];
    if (text !== `${first.text},${last.text}` || number === undefined) return [];
    const spoilt = inKey ? [first, before.value, last] : [first, last, value];
    return [{ span, text, number, first, last, inKey, spoilt }];
  });
}
