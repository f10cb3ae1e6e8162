import { capital } from '../capital.ts';
import { boundsOf, cellsOf, isInside } from '../configuration/bounds.ts';
import { eachReading, type ReadingOf } from '../configuration/readings.ts';
import { counted } from '../counted.ts';
import { type PressureReference, splitUnit } from '../quantity/index.ts';
import { type Found, fileCheck } from './check.ts';
import { slipsIn, standingIn, suspiciousMagnitude } from './form-values.ts';
import { nameOf, textBeside } from './form-words.ts';
import { type Thresholds, thresholdsOf, together } from './thresholds.ts';

export const unusualValue = fileCheck({
  id: 'unusual-value',
  severity: 'warning',
  title: 'Value outside its usual range',
  page: {
    catches:
      'A value, or a cell of a table, outside the usual range of its key that no wrong unit or decimal point explains. There is ' +
      'one finding per table. Values that are impossible, and values that another unit would explain, have findings of their own.',
    why: 'The usual ranges are those of the parts that aircraft and car engines use. A value outside is rarely right, and every value computed from it is wrong by the same factor.',
    example: 'fuel:\n  cylinder_trim: { 1: 0 %, 2: -15 % }',
    remedy:
      'Compare the value with its data sheet or measurement. If it is right, accept the finding with a reason.',
    basis: 'The usual range of each key. Common practice, no source.',
  },
  settings: {
    slack: {
      kind: 'ratio',
      value: '0 %',
      meaning: 'How far outside its usual range a value may be, relative to the width of the range.',
    },
  },
  *find(subject, thresholds) {
    const slip = thresholdsOf(suspiciousMagnitude, subject);
    yield* standingIn(subject, unusualEach(subject.read, together(thresholds, slip)));
  },
});

const unusualEach = eachReading(['quantity', 'table'], judge);

/** A value outside its usual range, unless `suspicious-magnitude` reports it. */
function judge(
  reading: ReadingOf<'quantity' | 'table'>,
  [{ slack }, { factor }]: readonly [Thresholds<'slack'>, Thresholds],
): Iterable<Found> {
  const { shape, value } = reading;
  const usual = boundsOf(shape, 'usual', value.kind);
  if (!usual || slipsIn(reading, factor!).length > 0) return [];
  const physical = boundsOf(shape, 'physical', value.kind);
  const width = (usual.high - usual.low) * slack;
  const wide = { ...usual, low: usual.low - width, high: usual.high + width };
  const isUnusual = (at: { canonical: number; reference?: PressureReference | undefined }) =>
    !isInside(wide, at) && (!physical || isInside(physical, at));
  if (value.type === 'quantity') {
    if (!isUnusual(value.quantity)) return [];
    const message = `${capital(nameOf(value.node))} is ${textBeside(value.node.text, value.quantity, usual)}, outside the usual range of ${usual.text}.`;
    return [{ at: value.node, message, cause: value.node }];
  }
  const { reference } = value;
  const outside = cellsOf(value).filter(({ canonical }) => isUnusual({ canonical, reference }));
  const [first, ...others] = outside;
  if (!first) return [];
  const more = others.length === 0 ? '' : ` (and ${counted(others.length, 'more cell')})`;
  const written = `${first.node.text} ${value.unit}`.trim();
  const text = textBeside(written, { ...splitUnit(value.unit), canonical: first.canonical }, usual);
  const message = `${capital(nameOf(first.node))} is ${text}, outside the usual range of ${usual.text}${more}.`;
  return [{ at: first.node, message, cause: value.node }];
}
