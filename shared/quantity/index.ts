/** Units, dimensions, pressure references: reading and printing `76 mm`. */
export { type ColumnFormat, columnFormat, columnInUnit, quantityColumn } from './column.ts';
export {
  alsoIn,
  formatNumber,
  formatQuantity,
  formatStated,
  fromUnit,
  printQuantity,
  toUnit,
} from './format.ts';
export {
  describeKind,
  dimensionOf,
  exampleUnit,
  kindAccepts,
  type Mismatch,
  misfit,
  unitTexts,
} from './kind-rules.ts';
export type { Dimension, Kind, PressureReference } from './kinds.ts';
export { type MeasuredQuantity, measuredQuantities, measuredQuantity } from './measured.ts';
export { nearestUnit } from './nearest.ts';
export { isSameWord, nearestWord } from './nearest-word.ts';
export {
  isFault,
  parseAs,
  parseQuantity,
  type Quantity,
  type QuantityFault,
  type TextRange,
} from './parse.ts';
export { parseRange, type QuantityRange } from './parse-range.ts';
export { isToleranceFault, parseTolerance, parseTolerant } from './parse-tolerance.ts';
export { halfWidthOf, type Tolerance, type ToleranceFault } from './tolerance.ts';
export { exactFromUnit, exactToUnit, type Unit } from './unit.ts';
export { differenceUnit, formatUnit, referenceWords, splitUnit, type UnitReading } from './unit-text.ts';
export { unitNamed, units, unitsOf } from './units.ts';
