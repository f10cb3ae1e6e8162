import type { OperatingPoint as WrittenPoint } from '../../generated/configuration.ts';
import { engineShape } from '../../shared/configuration/schemas.ts';
import { childShape, shapeAt } from '../../shared/configuration/shape.ts';
import type { QuantityValue } from '../../shared/configuration/values.ts';
import type { Derivation } from '../../shared/derived/derivation.ts';
import type { OperatingPoint } from '../../shared/derived/operating-point.ts';
import { allValues, fileValues, pointValues } from '../../shared/derived/registry.ts';
import { type DerivedValue, valueText } from '../../shared/derived/value.ts';
import { columnInUnit } from '../../shared/quantity/column.ts';
import type { Node } from '../../shared/source/tree.ts';
import { type PreferredUnits, preferred } from '../preferred-units.ts';
import type { PlaceOf } from './installation-view-places.ts';
import type { CellView, ColumnView, ValuesView } from './installation-view-types.ts';

/** One column with its cell at each operating point. */
interface Column extends ColumnView {
  readonly cells: readonly (CellView | null | undefined)[];
}

/** The derived and the written values of the operating points, and the derived values of the whole file. */
export function valuesView(derivation: Derivation, units: PreferredUnits, placeOf: PlaceOf): ValuesView {
  const { points } = derivation;
  const names = valueNames(derivation);
  const columns = [...derivedColumns(points, names, units), ...givenColumns(derivation, placeOf)];
  return {
    columns: columns.map(({ cells: _, ...column }) => column),
    rows: points.map(({ name, node }, i) => ({
      name,
      place: placeOf(node),
      cells: columns.map(({ cells }) => cells[i] ?? null),
    })),
    whole: fileValues
      .flatMap((definition) => derivation.get(definition))
      .map((value) => ({
        value: names.get(value)!,
        label: value.label,
        text: valueText(preferred(value, units)),
        place: placeOf(value.node),
      })),
  };
}

/** Every value of a derivation by name. A name stays the same while the text around its place changes. */
export function namedValues(derivation: Derivation): Map<string, DerivedValue> {
  return new Map([...valueNames(derivation)].map(([value, name]) => [name, value]));
}

function valueNames(derivation: Derivation): Map<DerivedValue, string> {
  const names = new Map<DerivedValue, string>();
  const paths = new Map<Node, string>();
  const counts = new Map<string, number>();
  for (const value of allValues(derivation)) {
    const at = paths.get(value.node) ?? value.at;
    paths.set(value.node, at);
    const name = `${value.id} ${at}`;
    const count = (counts.get(name) ?? 0) + 1;
    counts.set(name, count);
    names.set(value, count === 1 ? name : `${name} ${count}`);
  }
  return names;
}

/** The written values of the operating points, in the order of the file. */
function givenColumns({ points, installation }: Derivation, placeOf: PlaceOf): Column[] {
  const written: readonly WrittenPoint[] = points.map(
    ({ name }) => installation.configuration.operating_points?.[name] ?? {},
  );
  const keys = [...new Set(written.flatMap((point) => Object.keys(point)))] as (keyof WrittenPoint)[];
  const shape = shapeAt(engineShape, ['operating_points', '']);
  return keys.map((key) => ({
    key: `written ${key}`,
    label: childShape(shape, key)?.label ?? key,
    unit: '',
    isGiven: true,
    cells: written.map((point) => {
      const value = point[key];
      if (!value) return null;
      const number = value.type === 'quantity' ? (value as QuantityValue).canonical : null;
      return { text: value.node.text, number, value: null, place: placeOf(value.node) };
    }),
  }));
}

function derivedColumns(
  points: readonly OperatingPoint[],
  names: ReadonlyMap<DerivedValue, string>,
  units: PreferredUnits,
): Column[] {
  return pointValues.flatMap((definition) => {
    const values = points.map((point) => point.get(definition));
    const first = values.find((value) => value !== undefined);
    if (!first) return [];
    const unit = preferred(first, units).show;
    const text = columnInUnit(
      values.flatMap((value) => value?.canonical ?? []),
      unit,
    );
    const cells = values.map(
      (value) =>
        value && {
          text: text(value.canonical),
          number: finite(value.canonical),
          value: names.get(value)!,
          place: null,
        },
    );
    return [{ key: definition.id, label: first.label, unit, isGiven: false, cells }];
  });
}

/** JSON has no infinity, so the largest number is sent instead. */
const finite = (number: number): number => Math.max(-Number.MAX_VALUE, Math.min(Number.MAX_VALUE, number));
