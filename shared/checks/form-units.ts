import { capital } from '../capital.ts';
import type { MisreadQuantity, MissingKey } from '../configuration/binding-fault.ts';
import { boundsOf, customaryUnit, isInside, usualUnits } from '../configuration/bounds.ts';
import { type Shape, shapeAt } from '../configuration/shape.ts';
import {
  describeKind,
  exampleUnit,
  formatStated,
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
import { pathOf, pathText, spanInScalar } from '../source/tree.ts';
import { type Fix, type Found, fileCheck, type Subject } from './check.ts';
import { bareLimits, limitsOfWrongKind, limitsWithoutReference } from './form-limits.ts';
import { bareMeasured, bareMeasuredPressures, measuredOfWrongKind } from './form-measured.ts';
import { bareRails, gaugeRails } from './form-rail.ts';
import { scalesThatArePoints } from './form-scales.ts';
import { blanksBefore, nameOf, quote, rewriting, scalarText, valueText } from './form-words.ts';

/** A longer list of fixes would not help. */
const MOST_FIXES = 3;

function* misread(subject: Subject, ...faults: readonly QuantityFault['fault'][]): Iterable<MisreadQuantity> {
  for (const fault of subject.binding) {
    if (fault.type === 'quantity' && faults.includes(fault.fault.fault)) yield fault;
  }
}

/** `a length, such as 76 mm`; for a unit by itself, its kind. */
function wanted({ kind, shape }: MisreadQuantity): string {
  return shape.unitOf ? unitOfKind(kind) : describeKind(kind);
}

/** `the unit of a length, such as mm` */
function unitOfKind(kind: Kind): string {
  const [noun = ''] = describeKind(kind).split(', such as ');
  const example = exampleUnit(kind);
  return `the unit of ${noun}${example && `, such as ${quote(example)}`}`;
}

/** Units in which the number is in the usual range; if there is none, the customary unit. */
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
  title: 'Unit missing',
  page: {
    catches: 'A number without a unit where the key requires one, and a curve, map or axis without `unit`.',
    why: '380 without a unit is cubic centimetres per minute to one reader and grams per minute to another. No unit is ever assumed.',
    example: 'engine:\n  bore: 76',
    remedy:
      'Add the unit after the number. The fixes offer the units in which the number is in the usual range.',
    basis: 'The file format.',
  },
  *find(subject) {
    for (const fault of misread(subject, 'unit-missing')) {
      const { node, shape, kind } = fault;
      const [, end] = fault.fault.range;
      const units = likelyUnits(shape, kind, fault.fault.quantity);
      yield {
        at: node,
        message: `${capital(nameOf(node))} is ${valueText(node.text)} without a unit; it must be ${wanted(fault)}.`,
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
          title: `Add ${quote(line)}`,
          safety: 'choice',
          edits: [insertEntry(mapping, 'unit', { line: scalarText(unit) }, after)],
        },
      ]
    : [];
  return {
    at: mapping,
    message: `${quote(pathText([...pathOf(mapping), 'unit']))} is missing; it must be ${unitOfKind(kind)}.`,
    fixes,
  };
}

export const unitUnknown = fileCheck({
  id: 'unit-unknown',
  severity: 'error',
  title: 'Unknown unit',
  page: {
    catches:
      'A unit that is not in the table of units: a typing error, wrong case (`Kpa`), or a unit that is not supported.',
    why: 'Case matters: mPa and MPa differ by a factor of 10⁹. The unit is not guessed, so the value is left out.',
    example: 'fuel:\n  rail: { pressure: 3.0 Bar }',
    remedy: 'Write the unit as the fix offers it, after the number: `NUMBER UNIT`.',
    basis: 'The file format; factors from NIST SP 811.',
  },
  *find(subject) {
    for (const fault of misread(subject, 'unit-unknown')) {
      const { node, fault: read } = fault;
      const unit = read.unitText ?? node.text.slice(...read.range);
      const meant = read.suggestedText;
      yield {
        at: spanInScalar(node, ...read.range),
        message: `Unknown unit ${quote(unit)}; ${nameOf(node)} must be ${wanted(fault)}.`,
        fixes: meant && isReading(fault, meant) ? [rewriting(node, read.range, meant, 'choice')] : [],
      };
    }
  },
});

/** Whether the value can be read with this unit and is then physically possible. */
function isReading({ node, kind, shape, fault }: MisreadQuantity, meant: string): boolean {
  if (shape.unitOf) return true;
  const text = `${node.text.slice(0, fault.range[0])} ${meant}${node.text.slice(fault.range[1])}`;
  if (shape.range) return !isFault(parseRange(kind, text));
  const read = parseAs(kind, text);
  // A pressure whose reference is still missing is then reported for that.
  if (isFault(read)) return read.fault === 'reference-missing';
  const physical = boundsOf(shape, 'physical', kind);
  return physical === undefined || isInside(physical, read);
}

export const unitOfWrongKind = fileCheck({
  id: 'unit-of-wrong-kind',
  severity: 'error',
  title: 'Unit does not match quantity',
  page: {
    catches:
      'A pressure where a temperature is required, a unit after a dimensionless number, an absolute or gauge pressure where ' +
      'a difference is required (or the other way round), and °C for a temperature difference, which is written in K.',
    why:
      'Either the value is under the wrong key, or another scale was meant. 15 °C is a point on the scale, 288 K above absolute ' +
      'zero; a difference of 15 degrees is 15 K.',
    example: 'fuel:\n  rail: { regulator: manifold-referenced, pressure: 3.0 bar gauge }',
    remedy:
      'Write the value in a unit of the quantity that the message names, with or without `abs` or `gauge` as it says.',
    basis: 'The file format.',
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
      ? `has the unit ${unit} after its first number; write the unit of a range once, at the end`
      : `must be ${describeKind(kind)}; it has the unit ${unit}`;
  }
  if (read.fault === 'reference-unexpected') {
    const why = isFromVacuum(fault)
      ? '; converting an absolute pressure to a difference would need the ambient pressure'
      : '';
    return `must be ${wanted(fault)}, without ${unit}${why}`;
  }
  if (isPointOnScale(fault)) {
    return `is a temperature difference and must be in K; ${unit} denotes a point on a scale`;
  }
  const dimension = read.unit?.dimension;
  return `must be ${wanted(fault)}; ${unit} is a unit of ${dimension}`;
}

/** An absolute pressure where a difference is required. */
const isFromVacuum = ({ kind, shape, fault: { unitText, unit } }: MisreadQuantity): boolean =>
  !shape.unitOf &&
  unitText === 'abs' &&
  unit?.dimension === 'pressure' &&
  kindAccepts(kind, unit, 'difference');

/** A frequency instead of a time, or the other way round: `20 Hz` is every 50 ms. */
const isInverse = ({ kind, shape, fault: { unit } }: MisreadQuantity): boolean =>
  !shape.unitOf &&
  !shape.range &&
  ((kind === 'time' && unit?.dimension === 'frequency') ||
    (kind === 'frequency' && unit?.dimension === 'time'));

/** A difference of `27 °F` is not 27 K. */
const isPointOnScale = ({ kind, fault }: MisreadQuantity): boolean =>
  kind === 'temperature difference' && fault.unit?.dimension === 'temperature';

/** The first unit of a range may be removed only if the last one is the same: `mV` ends with `V` too. */
const isUnitAtEnd = (text: string, unit: string): boolean =>
  text.endsWith(unit) && /[\d\s.]$/.test(text.slice(0, -unit.length));

function* kindFixes(fault: MisreadQuantity): Iterable<Fix> {
  const { kind, shape, node, fault: read } = fault;
  const { range, unitText = '', suggestedText } = read;
  if (suggestedText !== undefined) yield rewriting(node, range, suggestedText, 'choice');
  else if (read.fault === 'unit-unexpected') {
    // A table of bare numbers has no unit at all.
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
    // Without the word the number would have another meaning.
    if (isFromVacuum(fault)) return;
    const isBare = kindAccepts(
      kind,
      read.unit,
      read.unit?.dimension === 'pressure' ? 'difference' : undefined,
    );
    if (isBare) yield rewriting(node, [blanksBefore(node.text, range[0]), range[1]], '', 'choice');
  } else if (read.quantity && isInverse(fault)) {
    const { canonical } = read.quantity;
    const text = formatStated(1 / canonical, customaryUnit(shape, kind));
    if (canonical > 0) yield rewriting(node, [0, node.text.length], text, 'choice');
  } else if (read.quantity && !shape.unitOf && !isPointOnScale(fault)) {
    // If the number is usual in no unit, the value is under the wrong key.
    const usual = boundsOf(shape, 'usual', kind);
    const units = usual ? usualUnits(kind, usual, read.quantity.number) : [];
    for (const unit of units.filter((one) => one !== '').slice(0, MOST_FIXES))
      yield rewriting(node, range, unit, 'choice');
  }
}

/** 90 % is 0.9; 900 % of a ratio may mean 9 or 900. */
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
  title: 'Pressure reference missing (abs or gauge)',
  page: {
    catches:
      'A pressure without `abs` or `gauge` where an absolute or gauge pressure is required: single values, ranges, axes, tables.',
    why:
      '150 kPa absolute is half an atmosphere of boost, 150 kPa gauge is one and a half. A boost target that is read with the ' +
      'wrong reference destroys the engine.',
    example: 'boost:\n  overboost_cut: 175 kPa',
    remedy: 'Add `abs` or `gauge` after the unit. There is one fix for each; only you know which is meant.',
    basis: 'The file format: a pressure without a reference is a difference.',
  },
  *find(subject) {
    for (const { node, kind, fault: read } of misread(subject, 'reference-missing')) {
      const fixes = (['absolute', 'gauge'] as const)
        .filter((reference) => kindAccepts(kind, read.unit, reference))
        .map((reference) => {
          const word = reference === 'absolute' ? 'abs' : 'gauge';
          return rewriting(node, [read.range[1], read.range[1]], ` ${word}`, 'choice');
        });
      const message = `${capital(nameOf(node))} is ${valueText(node.text)} without a pressure reference (abs or gauge); it must be ${describeKind(kind)}.`;
      yield { at: node, message, fixes };
    }
    yield* bareRails(subject);
    yield* bareMeasuredPressures(subject);
    yield* limitsWithoutReference(subject);
  },
});
