import type { MisreadQuantity, MissingKey } from '../configuration/binding-fault.ts';
import { boundsOf, customaryUnit, isInside, usualUnits } from '../configuration/bounds.ts';
import { type Shape, shapeAt } from '../configuration/shape.ts';
import {
  describeKind,
  exampleUnit,
  formatQuantity,
  isFault,
  type Kind,
  kindAccepts,
  measuredQuantity,
  parseAs,
  parseRange,
  printQuantity,
  type Quantity,
  type QuantityFault,
} from '../quantity/index.ts';
import { insertEntry } from '../source/edit.ts';
import { pathOf, spanInScalar } from '../source/tree.ts';
import { type Fix, type Found, fileCheck, type Subject } from './check.ts';
import { bareLimits, limitsOfWrongKind, limitsWithoutReference } from './form-limits.ts';
import { bareMeasured, bareMeasuredPressures, measuredOfWrongKind } from './form-measured.ts';
import { bareRails, gaugeRails } from './form-rail.ts';
import { scalesThatArePoints } from './form-scales.ts';
import { blanksBefore, capital, nameOf, quote, rewriting, scalarText } from './form-words.ts';

/** More readings than this are no help in a list of fixes. */
const MOST_FIXES = 3;

function* misread(subject: Subject, ...faults: readonly QuantityFault['fault'][]): Iterable<MisreadQuantity> {
  for (const fault of subject.binding) {
    if (fault.type === 'quantity' && faults.includes(fault.fault.fault)) yield fault;
  }
}

/** `a length, such as 76 mm`; of a unit that stands alone, its kind. */
function wanted({ kind, shape }: MisreadQuantity): string {
  return shape.unitOf ? unitOfKind(kind) : describeKind(kind);
}

/** `the unit of a length, such as mm` */
function unitOfKind(kind: Kind): string {
  const [noun = ''] = describeKind(kind).split(', such as ');
  const example = exampleUnit(kind);
  return `the unit of ${noun}${example && `, such as ${quote(example)}`}`;
}

/** Units that make the number a usual one; where none is known to, the kind's own example. */
function likelyUnits(shape: Shape, kind: Kind, quantity: Quantity | undefined): string[] {
  const usual = boundsOf(shape, 'usual', kind);
  const units = usual && quantity ? usualUnits(kind, usual, quantity.number) : [];
  return (units.length > 0 ? units : [customaryUnit(shape, kind)])
    .filter((unit) => unit !== '')
    .slice(0, MOST_FIXES);
}

export const unitMissing = fileCheck({
  id: 'unit-missing',
  severity: 'error',
  title: 'A number without its unit',
  page: {
    catches: 'A bare number where the key takes a quantity, and a curve, map or axis without its `unit`.',
    why: 'A bare 380 is cubic centimetres a minute to one reader and grams to another. No unit is ever assumed.',
    example: 'engine:\n  bore: 76',
    remedy: 'Write the unit behind the number. The fixes offer the units in which the number would be usual.',
    basis: 'The format of the file.',
  },
  *find(subject) {
    for (const fault of misread(subject, 'unit-missing')) {
      const { node, shape, kind } = fault;
      const [, end] = fault.fault.range;
      const units = likelyUnits(shape, kind, fault.fault.quantity);
      yield {
        at: node,
        message: `${capital(nameOf(node))} is ${quote(node.text)} without a unit; it takes ${wanted(fault)}.`,
        fixes: units.map((unit) => rewriting(node, [end, end], ` ${unit}`, 'choice')),
      };
    }
    for (const fault of subject.binding) {
      if (fault.type === 'missing-key' && fault.shape.unitOf) yield missingTableUnit(subject, fault);
    }
    yield* bareMeasured(subject);
    yield* bareLimits(subject);
  },
});

function missingTableUnit({ rootShape }: Subject, { mapping }: MissingKey): Found {
  const shape = shapeAt(rootShape, pathOf(mapping));
  const quantity = mapping.get('quantity');
  const measured = quantity?.type === 'scalar' ? measuredQuantity(quantity.text)?.entry : undefined;
  const kind = shape?.table?.unit ?? measured?.kind ?? 'any';
  const unit = shape?.table ? customaryUnit(shape, kind) : measured?.unit;
  const after = mapping.entry('y') ?? mapping.entry('x') ?? mapping.entry('quantity');
  const line = `unit: ${scalarText(unit ?? '')}`;
  const fixes: Fix[] = unit
    ? [
        {
          title: `Insert ${quote(line)}`,
          safety: 'choice',
          edits: [insertEntry(mapping, 'unit', { line: scalarText(unit) }, after)],
        },
      ]
    : [];
  return {
    at: mapping,
    message: `${capital(nameOf(mapping))} has no \`unit\`; it takes ${unitOfKind(kind)}.`,
    fixes,
  };
}

export const unitUnknown = fileCheck({
  id: 'unit-unknown',
  severity: 'error',
  title: 'A unit that is not known',
  page: {
    catches:
      'A unit that is not in the table of units: a slip, another case (`Kpa`), or a unit that is not in use here.',
    why: 'Case and letters carry meaning: mPa and MPa are a factor of 10⁹ apart. Nothing is guessed, so the value is left out.',
    example: 'fuel:\n  rail: { pressure: 3.0 Bar }',
    remedy: 'Write the unit as the fix offers it. Units stand behind the number: `NUMBER UNIT`.',
    basis: 'The format of the file; factors after NIST SP 811.',
  },
  *find(subject) {
    for (const fault of misread(subject, 'unit-unknown')) {
      const { node, fault: read } = fault;
      const unit = read.unitText ?? node.text.slice(...read.range);
      const meant = read.suggestedText;
      yield {
        at: spanInScalar(node, ...read.range),
        message: `${quote(unit)} is no unit that is known here; ${nameOf(node)} takes ${wanted(fault)}.`,
        fixes: meant && isReading(fault, meant) ? [rewriting(node, read.range, meant, 'choice')] : [],
      };
    }
  },
});

/** Whether the value can be read with this in place of its unit, and is then a possible one. */
function isReading({ node, kind, shape, fault }: MisreadQuantity, meant: string): boolean {
  if (shape.unitOf) return true;
  const text = `${node.text.slice(0, fault.range[0])} ${meant}${node.text.slice(fault.range[1])}`;
  if (shape.range) return !isFault(parseRange(kind, text));
  const read = parseAs(kind, text);
  // A pressure that still lacks its reference is asked for that next.
  if (isFault(read)) return read.fault === 'reference-missing';
  const physical = boundsOf(shape, 'physical', kind);
  return physical === undefined || isInside(physical, read);
}

export const unitOfWrongKind = fileCheck({
  id: 'unit-of-wrong-kind',
  severity: 'error',
  title: 'A unit of another kind of quantity',
  page: {
    catches:
      'A pressure where a temperature belongs, a unit behind a number that takes none, an absolute or gauge pressure where a ' +
      'difference belongs (or the other way round), and a temperature in °C where a difference is meant, which is written in K.',
    why:
      'Either the value stands under the wrong key or the author meant another scale. 15 °C is a point on the scale; as a ' +
      'difference read from absolute zero it would be 288 K.',
    example: 'fuel:\n  rail: { regulator: manifold-referenced, pressure: 3.0 bar gauge }',
    remedy:
      'Write the value in a unit that the key takes, with or without `abs` and `gauge` as the message says.',
    basis: 'The format of the file.',
  },
  *find(subject) {
    for (const fault of misread(subject, 'wrong-kind', 'unit-unexpected', 'reference-unexpected')) {
      const { node, fault: read } = fault;
      yield {
        at: spanInScalar(node, ...read.range),
        message: `${capital(nameOf(node))} ${wrongKind(fault)}.`,
        fixes: [...kindFixes(fault)],
      };
    }
    yield* gaugeRails(subject);
    yield* measuredOfWrongKind(subject);
    yield* limitsOfWrongKind(subject);
    yield* scalesThatArePoints(subject);
  },
});

function wrongKind(fault: MisreadQuantity): string {
  const { kind, shape, fault: read } = fault;
  const unit = quote(read.unitText ?? '');
  if (read.fault === 'unit-unexpected') {
    return shape.range && kind !== 'number'
      ? `has the unit ${unit} behind its first number; the unit of a range stands once, at the end`
      : `takes ${describeKind(kind)}, without ${unit}`;
  }
  if (read.fault === 'reference-unexpected') {
    const why = isFromVacuum(fault) ? ': what that is as a difference depends on the pressure around' : '';
    return `takes ${wanted(fault)}; ${unit} has no place there${why}`;
  }
  if (isPointOnScale(fault)) {
    return `is a temperature difference and is written in K; ${unit} is a point on the scale`;
  }
  const dimension = read.unit?.dimension;
  return `takes ${wanted(fault)}; ${unit} is a unit of ${dimension === 'ratio' ? 'shares' : dimension}`;
}

/** An absolute pressure where a difference belongs. */
const isFromVacuum = ({ kind, shape, fault: { unitText, unit } }: MisreadQuantity): boolean =>
  !shape.unitOf &&
  unitText === 'abs' &&
  unit?.dimension === 'pressure' &&
  kindAccepts(kind, unit, 'difference');

/** How often where how long belongs, or the other way round: `20 Hz` is every 50 ms. */
const isInverse = ({ kind, shape, fault: { unit } }: MisreadQuantity): boolean =>
  !shape.unitOf &&
  !shape.range &&
  ((kind === 'time' && unit?.dimension === 'frequency') ||
    (kind === 'frequency' && unit?.dimension === 'time'));

/** `27 °F` as a difference is not 27 K. */
const isPointOnScale = ({ kind, fault }: MisreadQuantity): boolean =>
  kind === 'temperature difference' && fault.unit?.dimension === 'temperature';

/** Of a range, the first unit may go only where the last one is the same: `V` stands at the end of `mV` too. */
const isUnitAtEnd = (text: string, unit: string): boolean =>
  text.endsWith(unit) && /[\d\s.]$/.test(text.slice(0, -unit.length));

function* kindFixes(fault: MisreadQuantity): Iterable<Fix> {
  const { kind, shape, node, fault: read } = fault;
  const { range, unitText = '', suggestedText } = read;
  if (suggestedText !== undefined) yield rewriting(node, range, suggestedText, 'choice');
  else if (read.fault === 'unit-unexpected') {
    // The unit of a table of bare numbers has no place at all.
    if (shape.unitOf) return;
    if (unitText === '%' && !shape.range) yield* withoutPercent(fault);
    else if (!shape.range || kind === 'number' || isUnitAtEnd(node.text, unitText)) {
      yield rewriting(
        node,
        [blanksBefore(node.text, range[0]), range[1]],
        '',
        shape.range ? 'safe' : 'choice',
      );
    }
  } else if (read.fault === 'reference-unexpected') {
    // Without the word the same number would say something else.
    if (isFromVacuum(fault)) return;
    const isBare = kindAccepts(
      kind,
      read.unit,
      read.unit?.dimension === 'pressure' ? 'difference' : undefined,
    );
    if (isBare) yield rewriting(node, [blanksBefore(node.text, range[0]), range[1]], '', 'choice');
  } else if (read.quantity && isInverse(fault)) {
    const { canonical } = read.quantity;
    const text = formatQuantity(1 / canonical, customaryUnit(shape, kind));
    if (canonical > 0) yield rewriting(node, [0, node.text.length], text, 'choice');
  } else if (read.quantity && !shape.unitOf && !isPointOnScale(fault)) {
    // Where the number is usual in no unit, the value stands under the wrong key.
    const usual = boundsOf(shape, 'usual', kind);
    const units = usual ? usualUnits(kind, usual, read.quantity.number) : [];
    for (const unit of units.filter((one) => one !== '').slice(0, MOST_FIXES))
      yield rewriting(node, range, unit, 'choice');
  }
}

/** 90 % is 0.9, though whoever writes 900 % of a ratio may mean either. */
function withoutPercent({ kind, shape, node, fault }: MisreadQuantity): Fix[] {
  const before = node.text.slice(0, fault.range[0]).trim();
  const number = Number(before);
  const physical = boundsOf(shape, 'physical', kind);
  return [[before, number] as const, [printQuantity(number / 100, ''), number / 100] as const]
    .filter(([, canonical]) => !physical || isInside(physical, { canonical }))
    .map(([text]) => rewriting(node, [0, fault.range[1]], text, 'choice'));
}

export const pressureReferenceMissing = fileCheck({
  id: 'pressure-reference-missing',
  severity: 'error',
  title: 'A pressure that does not say from where it is measured',
  page: {
    catches:
      'A bare pressure under a key that needs an absolute or a gauge one, of single values, ranges, axes and tables.',
    why:
      '150 kPa absolute is half an atmosphere of boost, 150 kPa gauge is one and a half. A boost target that is read the ' +
      'other way destroys the engine.',
    example: 'boost:\n  overboost_cut: 175 kPa',
    remedy:
      'Write `abs` or `gauge` behind the unit. There is one fix for each reading; only you know which is meant.',
    basis: 'The format of the file: a bare pressure is a difference.',
  },
  *find(subject) {
    for (const { node, kind, fault: read } of misread(subject, 'reference-missing')) {
      const fixes = (['absolute', 'gauge'] as const)
        .filter((reference) => kindAccepts(kind, read.unit, reference))
        .map((reference) => {
          const word = reference === 'absolute' ? 'abs' : 'gauge';
          return rewriting(node, [read.range[1], read.range[1]], ` ${word}`, 'choice');
        });
      const message = `${capital(nameOf(node))} is ${quote(node.text)}, from vacuum or from ambient? It takes ${describeKind(kind)}.`;
      yield { at: node, message, fixes };
    }
    yield* bareRails(subject);
    yield* bareMeasuredPressures(subject);
    yield* limitsWithoutReference(subject);
  },
});
