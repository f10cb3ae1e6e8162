import type { Analysis } from '../../shared/analysis.ts';
import type { Axis, TableValue } from '../../shared/configuration/values.ts';
import { cellPoint } from '../../shared/derived/cell.ts';
import {
  airMassPerCycle,
  fuelMassPerCycle,
  injectorDuty,
  injectorPulseWidth,
} from '../../shared/derived/fuel.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { formatStated, isFault, measuredQuantity, parseQuantity } from '../../shared/quantity/index.ts';
import type { Kind } from '../../shared/quantity/kinds.ts';
import type { ScalarNode } from '../../shared/source/tree.ts';
import { bold, code, lines, paragraphs, plain } from '../markdown.ts';
import type { PreferredUnits } from '../preferred-units.ts';
import { derivedTable } from './derived-words.ts';
import { quantityWords } from './quantity-words.ts';
import type { Spot } from './spot.ts';

/** The hover of a cell with its coordinates, or of a breakpoint; undefined elsewhere. */
export function tablePage(analysis: Analysis, { node }: Spot, units: PreferredUnits): string | undefined {
  for (const { table: value, shape } of analysis.subject.tables) {
    if (value.node.chunk !== node.chunk) continue;
    const label = shape.label ?? 'Value';
    for (const axis of [value.x, value.y]) {
      if (axis?.nodes.includes(node)) return breakpointWords(axis, node, units);
    }
    const row = value.rows.findIndex((cells) => cells.includes(node));
    if (row < 0) continue;
    const column = value.rows[row]!.indexOf(node);
    const follows = valuesAtCell(analysis, value, row, column);
    return paragraphs(
      cellWords(label, value, row, column, units),
      follows.length > 0 ? derivedTable(follows, units) : undefined,
      follows.length > 0 ? CONDITIONS : undefined,
    );
  }
  return undefined;
}

const CONDITIONS = 'Conditions: warm engine, sea level, standard day, nominal supply voltage.';

function breakpointWords(axis: Axis, { text }: ScalarNode, units: PreferredUnits): string {
  const measured = measuredQuantity(axis.quantity)?.entry;
  return numberWords(measured?.label ?? axis.quantity, text, axis.unit, measured?.kind, units);
}

function cellWords(
  label: string,
  table: TableValue,
  row: number,
  column: number,
  units: PreferredUnits,
): string {
  const cell = table.rows[row]![column]!;
  return lines(numberWords(label, cell.text, table.unit, table.kind, units), coordinates(table, row, column));
}

/** The number with the unit of the table. */
function numberWords(
  label: string,
  text: string,
  unit: string,
  kind: Kind | undefined,
  units: PreferredUnits,
): string {
  const quantity = parseQuantity(`${text} ${unit}`.trimEnd());
  return isFault(quantity) ? `${bold(label)} ${code(text)}` : quantityWords(label, quantity, kind, units);
}

function coordinates({ x, y }: TableValue, row: number, column: number): string {
  const places = [place(x, column), place(y, row)].filter((text) => text !== undefined);
  return places.length > 0 ? `at ${places.join(', ')}` : '';
}

function place(axis: Axis | undefined, index: number): string | undefined {
  const point = axis?.breakpoints[index];
  if (!axis || point === undefined) return undefined;
  const label = measuredQuantity(axis.quantity)?.entry.label.toLowerCase() ?? axis.quantity;
  return `${plain(label)} ${code(formatStated(point, axis.unit))}`;
}

const CELL_VALUES = [airMassPerCycle, fuelMassPerCycle, injectorPulseWidth, injectorDuty];

/** The derived values of one cell of volumetric efficiency, from air mass to injector duty. */
function valuesAtCell(
  { installation }: Analysis,
  table: TableValue,
  row: number,
  column: number,
): DerivedValue[] {
  const engine = installation?.engines.find(
    ({ configuration }) => configuration.fuel?.volumetric_efficiency === table,
  );
  const point = engine && cellPoint(engine, table, row, column);
  return point
    ? CELL_VALUES.map((definition) => point.get(definition)).filter((value) => value !== undefined)
    : [];
}
