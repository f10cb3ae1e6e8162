import {
  dimensionOf,
  exampleUnit,
  formatUnit,
  type Kind,
  kindAccepts,
  type PressureReference,
  splitUnit,
  type Unit,
  unitTexts,
} from '../quantity/index.ts';
import type { FieldPart } from './layout.ts';
import { kindsOf, valueShapeAt } from './path.ts';
import { placeOfField } from './place.ts';

/** What a layout need not state, because the engine file does. */
export type Doubt = 'unit' | 'pressure reference';

/** The unit of the numbers in an image, as far as the layout and the key say it. */
export interface DecodedUnit {
  readonly unit: string | undefined;
  readonly doubt: Doubt | undefined;
}

const UNKNOWN: DecodedUnit = { unit: undefined, doubt: 'unit' };
const sure = (unit: string): DecodedUnit => ({ unit, doubt: undefined });

/** The unit of the scale, or else the only one that the value can have. */
export function unitOfPart(key: string, { name, scale, offset }: FieldPart): DecodedUnit {
  const shape = valueShapeAt(placeOfField(key).path);
  const kinds: readonly Kind[] = shape ? kindsOf(shape, name) : [];
  if (!scale) return name === 'values' ? canonicalUnit(kinds, offset?.quantity.reference) : onlyUnit(kinds);
  const { unit, reference } = scale.quantity;
  if (!unit) return sure('');
  const stated = isPoint(offset?.quantity.reference) ? offset?.quantity.reference : reference;
  // A step of 1 K from 0 °C counts degrees Celsius.
  const own = unit.symbol === 'K' ? (offset?.quantity.unit ?? unit) : unit;
  return withReference(own, stated, kinds);
}

const isPoint = (reference: PressureReference | undefined): boolean =>
  reference !== undefined && reference !== 'difference';

/** Values without a scale are canonical numbers, whatever the unit of the text, so that any unit states them. */
function canonicalUnit(kinds: readonly Kind[], stated: PressureReference | undefined): DecodedUnit {
  const [first] = kinds;
  if (first === undefined) return sure('');
  const dimension = dimensionOf(first);
  if (dimension === undefined || kinds.some((kind) => dimensionOf(kind) !== dimension)) return UNKNOWN;
  const unit = splitUnit(exampleUnit(first))?.unit;
  return unit ? withReference(unit, stated, kinds) : sure('');
}

/** Breakpoints without a scale are numbers in the unit of the text, which is known if only one is allowed. */
function onlyUnit(kinds: readonly Kind[]): DecodedUnit {
  const texts = new Set(kinds.flatMap((kind) => [...unitTexts(kind), ...(kindAccepts(kind) ? [''] : [])]));
  const [only] = texts;
  return texts.size > 1 || only === undefined || kinds.includes('any') ? UNKNOWN : sure(only);
}

const REFERENCES: readonly PressureReference[] = ['absolute', 'gauge', 'difference'];

function withReference(
  unit: Unit,
  stated: PressureReference | undefined,
  kinds: readonly Kind[],
): DecodedUnit {
  if (unit.dimension !== 'pressure') return sure(unit.symbol);
  if (isPoint(stated)) return sure(formatUnit(unit, stated));
  const [fits, ...others] = REFERENCES.filter((one) => kinds.some((kind) => kindAccepts(kind, unit, one)));
  return others.length > 0
    ? { unit: unit.symbol, doubt: 'pressure reference' }
    : sure(formatUnit(unit, fits));
}
