import type { ProtectionLimit } from '../../generated/configuration.ts';
import { capital } from '../capital.ts';
import type { QuantityValue, TableValue } from '../configuration/values.ts';
import { differenceKind, fitsWatched, type Threshold } from '../derived/protection.ts';
import {
  describeKind,
  differenceUnit,
  kindAccepts,
  type MeasuredQuantity,
  type Mismatch,
  measuredQuantity,
  misfit,
  splitUnit,
} from '../quantity/index.ts';
import type { Kind } from '../quantity/kinds.ts';
import { insertEntry, replace } from '../source/edit.ts';
import type { Fix, Found, Subject } from './check.ts';
import { nameOf, quote, rewriting, scalarText, valueText, withoutReference } from './form-words.ts';

/** A caution, a warning or a hysteresis that cannot be compared with what its limit watches. */
interface Misfitting {
  readonly value: Threshold;
  readonly kind: Kind;
  readonly watched: MeasuredQuantity;
  readonly isHysteresis: boolean;
  readonly why: Mismatch;
}

function* misfitting({ installation }: Subject): Iterable<Misfitting> {
  const engines = installation?.engines ?? [];
  for (const limits of new Set(engines.map(({ configuration }) => configuration.protection))) {
    for (const section of Object.values(limits ?? {})) {
      const watched = section?.watches && measuredQuantity(section.watches.text)?.entry;
      if (watched && watched.kind !== 'any') yield* misfittingIn(section, watched);
    }
  }
}

function* misfittingIn(
  { above, below, hysteresis }: ProtectionLimit,
  watched: MeasuredQuantity,
): Iterable<Misfitting> {
  for (const value of [above?.caution, above?.warning, below?.caution, below?.warning]) {
    const why = value && whyNot(watched.kind, value);
    if (why) yield { value, kind: watched.kind, watched, isHysteresis: false, why };
  }
  const kind = differenceKind(watched.kind);
  const why = hysteresis && whyNot(kind, hysteresis);
  if (why) yield { value: hysteresis, kind, watched, isHysteresis: true, why };
}

function whyNot(kind: Kind, value: Threshold): Mismatch | undefined {
  if (fitsWatched(kind, value)) return undefined;
  const read = value.type === 'table' ? splitUnit(value.unit) : value.quantity;
  return misfit(kind, read?.unit, read?.reference);
}

/** What the value must be: the watched quantity, or a difference of it. */
function ofWhat({ value, watched, isHysteresis, kind }: Misfitting): string {
  const label = watched.label.toLowerCase();
  if (isHysteresis) return `a hysteresis of ${label} must be ${describeKind(kind)}`;
  const each = value.type === 'table' ? 'each value' : 'it';
  return `${each} must be ${describeKind(kind)}, because the limit watches ${label}`;
}

/** Numbers without a unit, where the watched quantity requires one. */
export function* bareLimits(subject: Subject): Iterable<Found> {
  for (const one of misfitting(subject)) {
    if (one.why !== 'unit-missing') continue;
    const { value, watched, isHysteresis } = one;
    const unit = isHysteresis ? differenceUnit(watched.unit) : watched.unit;
    const [at, is] = value.type === 'table' ? [value.node, 'has no `unit`'] : [value.node, isBare(value)];
    yield {
      at,
      message: `${capital(nameOf(at))} ${is}; ${ofWhat(one)}.`,
      fixes: [value.type === 'table' ? insertUnit(value, unit) : withUnit(value, unit)],
    };
  }
}

const isBare = ({ node }: QuantityValue): string => `is ${valueText(node.text)} without a unit`;

function withUnit({ node, quantity }: QuantityValue, unit: string): Fix {
  const [, end] = quantity.numberRange;
  return rewriting(node, [end, end], ` ${unit}`, 'choice');
}

function insertUnit({ node }: TableValue, unit: string): Fix {
  const line = scalarText(unit);
  const edit = insertEntry(node, 'unit', { line }, node.entry('y') ?? node.entry('x'));
  return { title: `Add ${quote(`unit: ${line}`)}`, safety: 'choice', edits: [edit] };
}

/** Pressures of limits without a reference. */
export function* limitsWithoutReference(subject: Subject): Iterable<Found> {
  for (const { value, kind, why } of misfitting(subject)) {
    if (why !== 'reference-missing') continue;
    const node = value.type === 'table' ? (value.unitNode ?? value.node) : value.node;
    const read = value.type === 'table' ? splitUnit(value.unit) : value.quantity;
    const text = value.type === 'table' ? value.unit : value.node.text;
    const fixes = (['abs', 'gauge'] as const)
      .filter((word) => kindAccepts(kind, read?.unit, word === 'abs' ? 'absolute' : 'gauge'))
      .map((word) => writing(value, `${text.trimEnd()} ${word}`));
    yield {
      at: node,
      message: `${capital(nameOf(node))} is ${valueText(text)} without a pressure reference (abs or gauge); it must be ${describeKind(kind)}.`,
      fixes: fixes.flat(),
    };
  }
}

/** The fix that replaces the text of a value, or the unit of a table. */
function writing(value: Threshold, text: string): Fix[] {
  if (value.type === 'quantity') return [rewriting(value.node, [0, value.node.text.length], text, 'choice')];
  if (!value.unitNode) return [];
  const line = scalarText(text);
  return [
    { title: `Change to ${valueText(text)}`, safety: 'choice', edits: [replace(value.unitNode, line)] },
  ];
}

/** Values of limits in a unit of another quantity, and hysteresis values that are points on a scale. */
export function* limitsOfWrongKind(subject: Subject): Iterable<Found> {
  for (const one of misfitting(subject)) {
    const { value, why } = one;
    if (why === 'unit-missing' || why === 'reference-missing') continue;
    const node = value.type === 'table' ? (value.unitNode ?? value.node) : value.node;
    const text = value.type === 'table' ? value.unit : value.node.text;
    yield {
      at: node,
      message: `${capital(nameOf(node))} is ${valueText(text)}; ${ofWhat(one)}.`,
      fixes: value.type === 'quantity' ? asDifference(one, value) : [],
    };
  }
}

/** A hysteresis of `5 °C` can only be 5 K, and `0.2 bar gauge` only 0.2 bar; 9 °F is not 9 K. */
function asDifference({ kind, why }: Misfitting, value: QuantityValue): Fix[] {
  const { unit, unitRange } = value.quantity;
  if (!unitRange) return [];
  if (kind === 'temperature difference' && unit?.symbol === '°C')
    return [rewriting(value.node, unitRange, 'K', 'choice')];
  return kind === 'pressure difference' && why === 'reference-unexpected' ? [withoutReference(value)] : [];
}
