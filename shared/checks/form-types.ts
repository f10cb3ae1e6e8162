import { capital } from '../capital.ts';
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
  acceptedText,
  nameOf,
  numberWithComma,
  PLACEHOLDER,
  plainNumbers,
  quote,
  repeatedFinding,
  rewriting,
  whatStands,
  withinSentence,
} from './form-words.ts';

type WrongType = Extract<StructureFault, { type: 'wrong-type' }>;

/** Here the value has the right type but is out of bounds; another check reports that. */
export const LIMITS: ReadonlySet<string> = new Set([
  'minimum',
  'maximum',
  'exclusiveMinimum',
  'exclusiveMaximum',
]);

export const wrongType = fileCheck({
  id: 'wrong-type',
  severity: 'error',
  title: 'Value of the wrong type',
  page: {
    catches:
      'A value that cannot be read as the type that its key requires: a word instead of a number, a number with a decimal comma, ' +
      'an unknown choice, a list instead of a single value, or no value. Also a placeholder that is still to be filled in.',
    why: 'A value that cannot be read is left out, and so is everything that is computed from it.',
    example: 'engine:\n  cycle: four stroke\n  bore: 76,2 mm',
    remedy:
      'Write a value of the type that the message names. Write numbers with a decimal point and without thousands separators.',
    basis: 'The file format.',
  },
  *find(subject) {
    const seen = new Set<Node>();
    for (const fault of subject.binding) {
      if (fault.type !== 'comma') continue;
      for (const node of fault.spoilt) seen.add(node);
      yield { at: fault.span, ...numberWithComma(fault) };
    }
    // A type fault says more about a value than the faults that follow from it.
    const wrong = subject.structure.filter((fault) => fault.type === 'wrong-type');
    for (const { node, keyword, repeated } of wrong) {
      const shape = repeated && !LIMITS.has(keyword) && shapeAt(subject.rootShape, repeated.path);
      if (shape) yield repeatedFinding(repeated, `must be ${acceptedText(shape)}`, node);
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

/** Whether the value is empty because of a syntax error, which has its own finding. */
function isSpoilt(node: Node, subject: Subject): boolean {
  if (node.type !== 'scalar' || node.style !== 'empty') return false;
  return subject.syntax.some(
    (fault) =>
      fault.rule === 'syntax-error' &&
      fault.chunk === node.chunk &&
      fault.start <= node.end &&
      node.start <= fault.end,
  );
}

/** The list that holds all values of a map, which is reported once and not for each value. */
function flatList({ node }: WrongType, { rootShape }: Subject): SequenceNode | undefined {
  const list = node.parent;
  if (node.type !== 'scalar' || list?.type !== 'sequence' || !isFlat(list)) return undefined;
  return shapeAt(rootShape, pathOf(list))?.items?.items ? list : undefined;
}

/** Called for each value of a list. */
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
          title: `Split into ${height} rows of ${width} values`,
          safety: 'choice',
          edits: [{ span: list, text: `[${rows.join(', ')}]` }],
        },
      ]
    : [];
  const message = `${capital(nameOf(list))} is one list of ${texts.length} values; it must have one list per breakpoint of \`y\`.`;
  return { at: list, message, fixes };
}

function breakpointsIn(table: MappingNode | undefined, name: 'x' | 'y'): number {
  const axis = table?.get(name);
  const points = axis?.type === 'mapping' ? axis.get('breakpoints') : undefined;
  return points?.type === 'sequence' ? points.items.length : 0;
}

const rank = ({ keyword }: WrongType): number => (keyword === 'type' ? 0 : 1);

function structureFinding({ node, keyword }: WrongType, shape: Shape): Found {
  // For a text with a pattern, the description says more than that it is a text.
  if (keyword === 'pattern' || (node.type === 'scalar' && node.value !== null && shape.hasPattern)) {
    const meaning = withinSentence(shape.description ?? '');
    const message = `${capital(nameOf(node))} has the invalid value ${whatStands(node)}${meaning && ` (${meaning})`}.`;
    return { at: node, message };
  }
  const fixes = node.type === 'scalar' ? [...meant(node, shape)] : [];
  return { at: node, message: `${capital(nameOf(node))} ${complaint(node, shape)}.`, fixes };
}

function complaint(node: Node, shape: Shape): string {
  const wanted = acceptedText(shape);
  if (node.type === 'scalar') {
    if (node.value === null) return `has no value; it must be ${wanted}`;
    if (node.text.includes(PLACEHOLDER)) return `is still to be filled in; it must be ${wanted}`;
    if (isNumberInQuotes(node, shape)) return `must be ${wanted}; ${quote(node.text)} in quotes is text`;
  }
  return `must be ${wanted}, not ${whatStands(node)}`;
}

function isNumberInQuotes({ style, text }: ScalarNode, { primitive }: Shape): boolean {
  const digits = primitive === 'integer' ? /^(-?\d+|0x[\da-fA-F]+)$/ : /^-?\d+(\.\d+)?$/;
  return (primitive === 'integer' || primitive === 'number') && style === 'quoted' && digits.test(text);
}

/** Fixes for what the author must have meant, or most likely meant. */
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
      title: `Remove the quotes from ${quote(node.text)}`,
      safety: 'safe',
      edits: [replace(node, node.text)],
    };
  }
  if (shape.primitive === 'boolean' && /^(yes|on|no|off|true|false)$/i.test(node.text)) {
    const word = /^(yes|on|true)$/i.test(node.text) ? 'true' : 'false';
    yield { title: `Change to ${quote(word)}`, safety: 'safe', edits: [replace(node, word)] };
  }
}

const openMessage = (node: Node, shape: Shape): string =>
  `${capital(nameOf(node))} is still to be filled in; it must be ${acceptedText(shape)}.`;

function misreadFinding({ node, shape, kind, fault }: MisreadQuantity): Found {
  const wanted = shape.range || shape.quantity === kind ? acceptedText(shape) : describeKind(kind);
  const name = capital(nameOf(node));
  if (node.text.includes(PLACEHOLDER)) {
    return { at: node, message: `${name} is still to be filled in; it must be ${wanted}.` };
  }
  if (fault.fault === 'not-a-range') {
    return { at: node, message: `${name} must be ${wanted}; ${quote(node.text)} is not a range.` };
  }
  if (shape.unitOf) return { at: node, message: `${name} must be a unit, not ${quote(node.text)}.` };
  const [start, end] = fault.range;
  const number = node.text.slice(start, end);
  const isPart = start < end && end - start < node.text.length;
  const at = isPart ? spanInScalar(node, start, end) : node;
  const message =
    fault.suggestedText !== undefined
      ? `${quote(number)} begins with a dash other than the plain minus sign \`-\`.`
      : isPart
        ? `${quote(number)} is not a valid number; write the digits without separators, with a decimal point.`
        : `${name} must be ${wanted}, not ${quote(node.text)}.`;
  const texts = fault.suggestedText === undefined ? plainNumbers(number) : [fault.suggestedText];
  const safety = texts.length === 1 ? 'safe' : 'choice';
  return { at, message, fixes: texts.map((text) => rewriting(node, fault.range, text, safety)) };
}

const whole = (node: ScalarNode): readonly [number, number] => [0, node.text.length];

export const rangeReversed = fileCheck({
  id: 'range-reversed',
  severity: 'error',
  title: 'Reversed range',
  page: {
    catches: 'A range `LOW..HIGH` whose first number is greater than its second.',
    why: 'No value is within such a range. Fault bounds written like this would trip either never or always.',
    example: 'ignition:\n  advance_range: 40..-10 deg',
    remedy:
      'Write the lower end first. The fix swaps the two numbers; if one of them is a typing error, correct it instead.',
    basis: 'The file format.',
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
        message: `${capital(nameOf(node))} begins at ${low.trim()}, above its end of ${high.trim()}.`,
        fixes: [rewriting(node, range, swapped, 'choice')],
      };
    }
  },
});
