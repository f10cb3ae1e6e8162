import { groupedBy } from '../../shared/grouped-by.ts';
import { kindAccepts, measuredQuantity, splitUnit } from '../../shared/quantity/index.ts';
import type { DecodedPart } from '../../shared/storage/decode.ts';
import { valueShapeAt } from '../../shared/storage/path.ts';
import { placeOfField } from '../../shared/storage/place.ts';

/** For programs. */
export function imageValuesJson(parts: readonly DecodedPart[]): string {
  const fields = parts.map(({ key, name, at, rows, columns, raw, texts, unit }) => ({
    path: key,
    part: name,
    at,
    rows,
    columns,
    raw,
    values: texts.map((text) =>
      text === undefined ? null : unit === '' && !isNumber(text) ? text : Number(text),
    ),
    unit: unit === undefined ? null : unit || '1',
  }));
  return `${JSON.stringify({ fields }, null, 2)}\n`;
}

const isNumber = (text: string): boolean => text !== '' && Number.isFinite(Number(text));

/** The lines of a value below its key, or its text on the line of the key. */
type Tree = Map<string, Tree | readonly string[]>;

/** The values as an engine file writes them. What no value can be is a comment. */
export function imageValuesText(parts: readonly DecodedPart[], image: string, controller: string): string {
  const tree: Tree = new Map();
  for (const [key, own] of groupedBy(parts, (part) => part.key)) {
    const { set, path } = placeOfField(key);
    const steps = path.split('.');
    put(
      tree,
      set === undefined ? steps : ['map_sets', 'sets', `set_${set}`, 'apply', ...steps],
      valueLines(path, own),
    );
  }
  const head = `# The values in ${image}, with the layout of ${controller}.`;
  return `${[head, 'enginefile: 1', ...linesOf(tree)].join('\n')}\n`;
}

function put(tree: Tree, [step = '', ...rest]: readonly string[], lines: readonly string[]): void {
  if (rest.length === 0) {
    tree.set(step, lines);
    return;
  }
  const below = tree.get(step);
  const section: Tree = below instanceof Map ? below : new Map();
  tree.set(step, section);
  put(section, rest, lines);
}

function linesOf(tree: Tree): string[] {
  return [...tree].flatMap(([key, value]) => {
    if (value instanceof Map) return [`${key}:`, ...linesOf(value).map((line) => `  ${line}`)];
    return value.length === 1 ? [`${key}: ${value[0]}`] : [`${key}:`, ...value.map((line) => `  ${line}`)];
  });
}

function valueLines(path: string, parts: readonly DecodedPart[]): string[] {
  const values = parts.find(({ name }) => name === 'values');
  if (!values || parts.some(({ texts }) => texts.includes(undefined))) return ['# no value has these bytes'];
  if (values.texts.length === 0) return ['# no value: all its bytes are filled'];
  const shape = valueShapeAt(path);
  const texts = values.texts as readonly string[];
  const x = parts.find(({ name }) => name === 'x');
  if (shape?.relation && x) {
    const pairs = texts.map((text, i) => `${stated(x.texts[i]!, x)}: ${stated(text, values)}`);
    return [withComment(`{ ${pairs.join(', ')} }`, doubtsOf(x, values))];
  }
  const doubts = doubtsOf(values);
  if (shape?.range && texts.length === 2)
    return [withComment(stated(`${texts[0]}..${texts[1]}`, values), doubts)];
  if (shape?.items) return [withComment(`[${texts.map((text) => stated(text, values)).join(', ')}]`, doubts)];
  if (!shape?.table || (texts.length === 1 && !x)) return [withComment(stated(texts[0]!, values), doubts)];
  const axes = (['x', 'y'] as const).flatMap((name) => {
    const axis = parts.find((one) => one.name === name);
    const names = shape.table?.[name];
    return axis && names ? [axisLine(axis, names)] : [];
  });
  const unit = values.unit ? [`unit: ${quoted(values.unit)}`] : [];
  const rows = Array.from({ length: values.rows }, (_, i) =>
    texts.slice(i * values.columns, (i + 1) * values.columns),
  );
  const list = shape.table.y
    ? ['values:', ...rows.map((row) => `  - [${row.join(', ')}]`)]
    : [`values: [${texts.join(', ')}]`];
  const [first = '', ...others] = [...unit, ...list];
  return [...axes, withComment(first, doubts), ...others];
}

const stated = (text: string, { unit }: DecodedPart): string => `${text} ${unit ?? ''}`.trim();

/** An axis of a table. A quantity is named only if it is the only one that the unit allows. */
function axisLine(axis: DecodedPart, names: readonly string[]): string {
  const fitting = quantitiesOf(axis, names);
  const quantity = fitting.length === 1 ? `quantity: ${fitting[0]}, ` : '';
  const unit = axis.unit ? `unit: ${quoted(axis.unit)}, ` : '';
  const doubts = [
    ...(quantity === '' ? [`the quantity: ${(fitting.length > 0 ? fitting : names).join(' or ')}`] : []),
    ...doubtsOf(axis),
  ];
  const line = `${axis.name}: { ${quantity}${unit}breakpoints: [${axis.texts.join(', ')}] }`;
  return withComment(line, doubts);
}

/** The quantities whose numbers may have the unit of an axis. */
function quantitiesOf({ unit, doubt }: DecodedPart, names: readonly string[]): readonly string[] {
  if (doubt === 'unit') return names;
  const reading = splitUnit(unit ?? '');
  const references = doubt ? (['absolute', 'gauge', 'difference'] as const) : [reading?.reference];
  return names.filter((name) => {
    const kind = measuredQuantity(name)?.entry.kind ?? 'any';
    return references.some((reference) => kindAccepts(kind, reading?.unit, reference));
  });
}

const doubtsOf = (...parts: readonly DecodedPart[]): string[] => [
  ...new Set(parts.flatMap(({ doubt }) => (doubt ? [`the ${doubt}`] : []))),
];

/** A text with what the reader has to add. */
const withComment = (text: string, doubts: readonly string[]): string =>
  doubts.length > 0 ? `${text} # the image does not state ${doubts.join(', nor ')}` : text;

const quoted = (unit: string): string => (unit === '%' ? '"%"' : unit);
