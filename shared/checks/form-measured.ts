import type { Sensor } from '../../generated/configuration.ts';
import { capital } from '../capital.ts';
import type { QuantityValue, TextValue } from '../configuration/values.ts';
import { groupedBy } from '../grouped-by.ts';
import { memoMap } from '../memo.ts';
import {
  describeKind,
  kindAccepts,
  type Mismatch,
  measuredQuantity,
  misfit,
  type Quantity,
} from '../quantity/index.ts';
import { insertAt } from '../source/edit.ts';
import type { Node } from '../source/tree.ts';
import type { Fix, Found, Subject } from './check.ts';
import { nameOf, valueText } from './form-words.ts';

/** A value whose kind depends on the quantity of its sensor, not on its own key. */
interface Written {
  readonly node: Node;
  readonly text: string;
  readonly quantity: Pick<Quantity, 'unit' | 'reference'>;
}

const written = ({ node, quantity }: QuantityValue): Written => ({ node, text: node.text, quantity });

function valuesOf({ scaling, minimum, maximum, range, substitute }: Sensor): Written[] {
  return [
    ...(scaling?.points ?? []).map(({ to, value }) => ({ node: value, text: value.text, quantity: to })),
    ...[minimum, maximum, substitute].flatMap((one) => (one ? [written(one)] : [])),
    ...(range ? [{ node: range.node, text: range.node.text, quantity: range.high }] : []),
  ];
}

interface Misfits {
  readonly kind: Parameters<typeof kindAccepts>[0];
  readonly label: string;
  readonly customary: string;
  readonly measured: TextValue;
  readonly why: Reason;
  readonly values: readonly Written[];
}

type Reason = 'unit-missing' | 'reference-missing' | 'wrong';

function reasonOf(why: Mismatch | undefined): Reason | undefined {
  return why === undefined || why === 'unit-missing' || why === 'reference-missing' ? why : 'wrong';
}

const SOUND: readonly Misfits[] = [];

/** The values of a sensor that do not fit its quantity, by reason. */
const misfitsOfEach = memoMap((sensor: Sensor): readonly Misfits[] => {
  const entry = sensor.measures && measuredQuantity(sensor.measures.text)?.entry;
  if (!entry) return SOUND;
  const { kind, label, unit: customary } = entry;
  const byReason = groupedBy(valuesOf(sensor), ({ quantity: { unit, reference } }) =>
    reasonOf(misfit(kind, unit, reference)),
  );
  byReason.delete(undefined);
  if (byReason.size === 0) return SOUND;
  return [...byReason].map(([why, values]) => ({
    ...{ kind, label, customary, measured: sensor.measures! },
    ...{ why: why!, values },
  }));
});

/** The values of all sensors that do not fit their quantity for one reason. */
function misfits({ installation }: Subject, reason: Reason): Misfits[] {
  const sensors = Object.values(installation?.configuration.sensors ?? {});
  const found: Misfits[] = [];
  for (const all of misfitsOfEach(sensors, undefined))
    if (all !== SOUND) for (const one of all) if (one.why === reason) found.push(one);
  return found;
}

const alsoHere = (values: readonly Written[]) =>
  values.slice(1).map(({ node }) => ({ at: node, message: 'Also here.' }));

/** Pressures without a reference, of sensors whose quantity requires one. */
export function* bareMeasuredPressures(subject: Subject): Generator<Found> {
  for (const { kind, values } of misfits(subject, 'reference-missing')) {
    const first = values[0]!;
    yield {
      at: first.node,
      message: `${capital(nameOf(first.node))} is ${valueText(first.text)} without a pressure reference (abs or gauge); it must be ${describeKind(kind)}.`,
      related: alsoHere(values),
      fixes: ['abs', 'gauge'].flatMap((word) =>
        kindAccepts(kind, first.quantity.unit, word === 'abs' ? 'absolute' : 'gauge')
          ? [writingBehind(values, word)]
          : [],
      ),
    };
  }
}

/** Numbers without a unit, of sensors whose quantity requires one. */
export function* bareMeasured(subject: Subject): Generator<Found> {
  for (const { kind, label, customary, measured, values } of misfits(subject, 'unit-missing')) {
    const first = values[0]!;
    yield {
      at: first.node,
      message: `${capital(nameOf(first.node))} is ${valueText(first.text)} without a unit; it must be ${describeKind(kind)}, because the sensor measures ${label.toLowerCase()}.`,
      related: [{ at: measured.node, message: 'Quantity that the sensor measures.' }, ...alsoHere(values)],
      fixes: [writingBehind(values, customary)],
    };
  }
}

/** One unit or reference for all values of a sensor: a scaling is not half absolute and half gauge. */
function writingBehind(values: readonly Written[], word: string): Fix {
  return {
    title: `Add \`${word}\` to ${values.length === 1 ? valueText(values[0]!.text) : `all ${values.length} values`}`,
    safety: 'choice',
    edits: values.map(({ node }) => {
      const quoted = node.type === 'scalar' && node.style === 'quoted';
      return insertAt(node, node.end - (quoted ? 1 : 0), ` ${word}`);
    }),
  };
}

/** Values of sensors in a unit of another quantity. */
export function* measuredOfWrongKind(subject: Subject): Generator<Found> {
  for (const { kind, label, measured, values } of misfits(subject, 'wrong')) {
    const first = values[0]!;
    yield {
      at: first.node,
      message: `${capital(nameOf(first.node))} is ${valueText(first.text)}; it must be ${describeKind(kind)}, because the sensor measures ${label.toLowerCase()}.`,
      related: [{ at: measured.node, message: 'Quantity that the sensor measures.' }, ...alsoHere(values)],
    };
  }
}
