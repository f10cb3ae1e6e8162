import type { MisreadQuantity } from '../configuration/binding-fault.ts';
import { type Shape, shapeAt } from '../configuration/shape.ts';
import type { StructureFault } from '../configuration/validate.ts';
import { memo } from '../memo.ts';
import { describeKind, isSameWord, nearestWord } from '../quantity/index.ts';
import { replace } from '../source/edit.ts';
import {
  type MappingNode,
  type Node,
  pathOf,
  type ScalarNode,
  type SequenceNode,
  sourceText,
  spanInScalar,
} from '../source/tree.ts';
import { type Fix, type Found, fileCheck, type Subject } from './check.ts';
import {
  capital,
  isBehindTab,
  nameOf,
  numberWithComma,
  PLACEHOLDER,
  plainNumbers,
  quote,
  repeatedFinding,
  rewriting,
  whatFits,
  whatStands,
} from './form-words.ts';

type WrongType = Extract<StructureFault, { type: 'wrong-type' }>;

/** Of these the number is right in kind and wrong in size: another check speaks of them. */
export const LIMITS: ReadonlySet<string> = new Set([
  'minimum',
  'maximum',
  'exclusiveMinimum',
  'exclusiveMaximum',
]);

export const wrongType = fileCheck({
  id: 'wrong-type',
  severity: 'error',
  title: 'A value of the wrong form',
  page: {
    catches:
      'A value that cannot be read as what its key takes: a word where a number belongs, a number with a comma for its point, a ' +
      'choice that there is not, a list for a single value, or nothing at all.',
    why: 'A value that cannot be read is left out, and so is everything computed from it.',
    example: 'engine:\n  cycle: four stroke\n  bore: 76,2 mm',
    remedy: 'Write what the message asks for. Numbers take a decimal point and no marks between thousands.',
    basis: 'The format of the file.',
  },
  *find(subject) {
    const seen = new Set<Node>();
    for (const fault of subject.binding) {
      if (fault.type !== 'comma') continue;
      for (const node of fault.spoilt) seen.add(node);
      yield { at: fault.span, ...numberWithComma(fault) };
    }
    // A fault of type says more about a value than the others that follow from it.
    const wrong = subject.structure.filter((fault) => fault.type === 'wrong-type');
    for (const { node, keyword, repeated } of wrong) {
      const shape = repeated && !LIMITS.has(keyword) && shapeAt(subject.rootShape, repeated.path);
      if (shape) yield repeatedFinding(repeated, `takes ${whatFits(shape)}`, node);
    }
    const structure = wrong.filter(({ repeated }) => !repeated);
    for (const fault of [...structure].sort((a, b) => rank(a) - rank(b))) {
      if (LIMITS.has(fault.keyword) || seen.has(fault.node) || isSpoilt(fault.node, subject)) continue;
      const list = flatList(fault, subject);
      if (list) {
        if (!seen.has(list)) yield flatRows(list);
        seen.add(list);
        continue;
      }
      seen.add(fault.node);
      const shape = shapeAt(subject.rootShape, pathOf(fault.node));
      if (shape) yield structureFinding(fault, shape);
    }
    for (const fault of subject.binding) {
      if (fault.type === 'placeholder')
        yield { at: fault.node, message: openMessage(fault.node, fault.shape) };
      if (fault.type !== 'quantity' || seen.has(fault.node)) continue;
      if (['not-a-number', 'not-a-range'].includes(fault.fault.fault)) yield misreadFinding(fault);
    }
  },
});

/** Nothing stands there because the text there can't be read, which is said already. */
function isSpoilt(node: Node, { syntax }: Subject): boolean {
  if (node.type !== 'scalar' || node.style !== 'empty') return false;
  const faults = syntax.filter(({ chunk }) => chunk === node.chunk);
  const isHere = faults.some(
    ({ rule, start, end }) => rule === 'syntax-error' && start <= node.end && node.start <= end,
  );
  return isHere || (faults.some(({ rule }) => rule === 'tab-indentation') && isAboveTab(node, faults));
}

/** The section may well be the line below, if that were indented with spaces. */
function isAboveTab({ chunk, end }: ScalarNode, syntax: Subject['syntax']): boolean {
  const below = /^[^\n]*(\n[ \t]*(#[^\n]*)?(?=\n))*\n[ \t]*/.exec(chunk.text.slice(end))?.[0].length;
  return below !== undefined && isBehindTab({ chunk, start: end + below, end }, { syntax });
}

/** The values of a map that stand in one list, which is said once and not of each value. */
function flatList({ node }: WrongType, { rootShape }: Subject): SequenceNode | undefined {
  const list = node.parent;
  if (node.type !== 'scalar' || list?.type !== 'sequence' || !isFlat(list)) return undefined;
  return shapeAt(rootShape, pathOf(list))?.items?.items ? list : undefined;
}

/** Asked for each of the values in a list. */
export const isFlat = memo(
  ({ items }: SequenceNode): boolean =>
    items.length > 1 && items.every((item) => item.type === 'scalar' && item.style !== 'empty'),
);

function flatRows(list: SequenceNode): Found {
  const table = list.parent?.type === 'mapping' ? list.parent : undefined;
  const [width, height] = [breakpointsIn(table, 'x'), breakpointsIn(table, 'y')];
  const texts = list.items.map((item) => sourceText(item));
  const fits = list.flow && width > 0 && width * height === texts.length;
  const rows = texts.flatMap((_, i) =>
    i % width === 0 ? [`[${texts.slice(i, i + width).join(', ')}]`] : [],
  );
  const fixes: Fix[] = fits
    ? [
        {
          title: `Make ${height} rows of ${width} values`,
          safety: 'choice',
          edits: [{ span: list, text: `[${rows.join(', ')}]` }],
        },
      ]
    : [];
  const message = `${capital(nameOf(list))} takes one list for each breakpoint of y, not one list of ${texts.length} values.`;
  return { at: list, message, fixes };
}

function breakpointsIn(table: MappingNode | undefined, name: 'x' | 'y'): number {
  const axis = table?.get(name);
  const points = axis?.type === 'mapping' ? axis.get('breakpoints') : undefined;
  return points?.type === 'sequence' ? points.items.length : 0;
}

const rank = ({ keyword }: WrongType): number => (keyword === 'type' ? 0 : 1);

function structureFinding({ node, keyword }: WrongType, shape: Shape): Found {
  // Of a text that has a form of its own, its description says more than that it is a text.
  if (keyword === 'pattern' || (node.type === 'scalar' && node.value !== null && shape.hasPattern)) {
    const message = `${capital(nameOf(node))} is ${whatStands(node)}, which can't be read. ${shape.description ?? ''}`;
    return { at: node, message: message.trim() };
  }
  const fixes = node.type === 'scalar' ? [...meant(node, shape)] : [];
  return { at: node, message: `${capital(nameOf(node))} ${complaint(node, shape)}.`, fixes };
}

function complaint(node: Node, shape: Shape): string {
  const wanted = whatFits(shape);
  if (node.type === 'scalar') {
    if (node.value === null) return `has no value yet; it takes ${wanted}`;
    if (node.text.includes(PLACEHOLDER)) return `is still to be filled in; it takes ${wanted}`;
    if (isNumberInQuotes(node, shape)) return `takes ${wanted}; in quotes ${quote(node.text)} is a text`;
  }
  return `takes ${wanted}, not ${whatStands(node)}`;
}

function isNumberInQuotes({ style, text }: ScalarNode, { primitive }: Shape): boolean {
  const digits = primitive === 'integer' ? /^(-?\d+|0x[\da-fA-F]+)$/ : /^-?\d+(\.\d+)?$/;
  return (primitive === 'integer' || primitive === 'number') && style === 'quoted' && digits.test(text);
}

/** What the author can only have meant, or most likely meant. */
function* meant(node: ScalarNode, shape: Shape): Iterable<Fix> {
  const choices = shape.choices?.filter((choice) => typeof choice === 'string');
  const nearest = choices && nearestWord(node.text, choices);
  if (nearest !== undefined) {
    yield rewriting(node, whole(node), nearest, isSameWord(nearest, node.text) ? 'safe' : 'choice');
  }
  if (shape.primitive === 'number') {
    const texts = plainNumbers(node.text);
    for (const text of texts)
      yield rewriting(node, whole(node), text, texts.length === 1 ? 'safe' : 'choice');
  }
  if (isNumberInQuotes(node, shape)) {
    yield {
      title: `Write ${quote(node.text)} without quotes`,
      safety: 'safe',
      edits: [replace(node, node.text)],
    };
  }
  if (shape.primitive === 'boolean' && /^(yes|on|no|off|true|false)$/i.test(node.text)) {
    const word = /^(yes|on|true)$/i.test(node.text) ? 'true' : 'false';
    yield { title: `Write ${quote(word)}`, safety: 'safe', edits: [replace(node, word)] };
  }
}

const openMessage = (node: Node, shape: Shape): string =>
  `${capital(nameOf(node))} is still to be filled in; it takes ${whatFits(shape)}.`;

function misreadFinding({ node, shape, kind, fault }: MisreadQuantity): Found {
  const wanted = shape.range || shape.quantity === kind ? whatFits(shape) : describeKind(kind);
  const name = capital(nameOf(node));
  if (node.text.includes(PLACEHOLDER)) {
    return { at: node, message: `${name} is still to be filled in; it takes ${wanted}.` };
  }
  if (fault.fault === 'not-a-range') {
    return { at: node, message: `${name} takes ${wanted}; ${quote(node.text)} has no two ends.` };
  }
  if (shape.unitOf) return { at: node, message: `${name} takes a unit, not ${quote(node.text)}.` };
  const [start, end] = fault.range;
  const number = node.text.slice(start, end);
  const isPart = start < end && end - start < node.text.length;
  const at = isPart ? spanInScalar(node, start, end) : node;
  const message = isPart
    ? `${quote(number)} is no number: digits stand together, with a point before the decimals.`
    : `${name} takes ${wanted}, not ${quote(node.text)}.`;
  const texts = fault.suggestedText === undefined ? plainNumbers(number) : [fault.suggestedText];
  const safety = texts.length === 1 ? 'safe' : 'choice';
  return { at, message, fixes: texts.map((text) => rewriting(node, fault.range, text, safety)) };
}

const whole = (node: ScalarNode): readonly [number, number] => [0, node.text.length];

export const rangeReversed = fileCheck({
  id: 'range-reversed',
  severity: 'error',
  title: 'A range that ends before it begins',
  page: {
    catches: 'A range `LOW..HIGH` whose first number is above its second.',
    why: 'No value lies within such a range: a fault band that is written so would either never trip or always.',
    example: 'ignition:\n  advance_range: 40..-10 deg',
    remedy:
      'Write the lower end first. The fix exchanges the two numbers; if one of them is a slip, correct that instead.',
    basis: 'The format of the file.',
  },
  *find(subject) {
    for (const fault of subject.binding) {
      if (fault.type !== 'quantity' || fault.fault.fault !== 'range-reversed') continue;
      const { node } = fault;
      const { range } = fault.fault;
      const [low = '', high = ''] = node.text.slice(...range).split('..');
      const swapped = `${high.trim()}..${low.trim()}`;
      yield {
        at: node,
        message: `${capital(nameOf(node))} begins at ${low.trim()} and ends below that, at ${high.trim()}.`,
        fixes: [rewriting(node, range, swapped, 'choice')],
      };
    }
  },
});
