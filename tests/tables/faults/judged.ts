import type { Analysis } from '../../../shared/analysis.ts';
import type { Finding } from '../../../shared/checks/finding.ts';
import { analyseCase } from '../../support/fixture.ts';
import type { Planted } from './planted.ts';
import type { Plausible, Quantity } from './plausible.ts';

/** Where a file holds a table, and its axes and unit. */
const PLACES: Readonly<Record<Quantity, { key: string; x: string; y?: string; unit: string }>> = {
  filling: mapAt('fuel.volumetric_efficiency', '"%"'),
  lambda: mapAt('fuel.target_lambda', ''),
  advance: mapAt('ignition.advance', 'deg'),
  boost: {
    ...mapAt('boost.target', 'kPa abs'),
    y: 'quantity: throttle_position, unit: "%"',
  },
  'injection end': mapAt('fuel.injection_end', 'deg'),
  'dead time': { key: 'fuel.injectors.dead_time', x: 'quantity: battery_voltage, unit: V', unit: 'ms' },
  dwell: { key: 'ignition.dwell', x: 'quantity: battery_voltage, unit: V', unit: 'ms' },
  'warm-up': { key: 'fuel.warm_up_enrichment', x: 'quantity: coolant_temperature, unit: °C', unit: '"%"' },
  cranking: { key: 'fuel.cranking_pulse', x: 'quantity: coolant_temperature, unit: °C', unit: 'ms' },
};

function mapAt(key: string, unit: string) {
  return {
    ...{ key, unit, x: 'quantity: engine_speed, unit: rpm' },
    y: 'quantity: manifold_pressure, unit: kPa abs',
  };
}

/** The checks of the shape of a table, and which of them judge its lines as wholes. */
export const LINE_CHECKS = [
  'table-line-outlier',
  'table-lines-exchanged',
  'table-lines-identical',
  'table-line-shifted',
  'axis-spacing-irregular',
] as const;
export const SHAPE_CHECKS: readonly string[] = [...LINE_CHECKS, 'cell-outlier', 'map-not-monotonic'];

/** A file with only that table. */
export function textOf({ quantity, x, y, rows, decimals }: Plausible): string {
  const place = PLACES[quantity];
  const keys = place.key.split('.');
  const lists = rows.map((row) => `[${row.map((cell) => cell.toFixed(decimals)).join(', ')}]`);
  return [
    `${keys.map((key) => `${key}: {`).join(' ')} x: { ${place.x}, breakpoints: [${x.join(', ')}] },`,
    y ? `y: { ${place.y}, breakpoints: [${y.join(', ')}] },` : '',
    place.unit ? `unit: ${place.unit},` : '',
    y
      ? `values: [${lists.join(',\n ')}] ${keys.map(() => '}').join(' ')}`
      : `values: ${lists[0]} ${keys.map(() => '}').join(' ')}`,
  ].join('\n  ');
}

/** What the checks of the shape of tables find in one. */
export function findingsIn(table: Plausible): readonly Finding[] {
  const analysis: Analysis = analyseCase(new Map([['case.engine.yaml', textOf(table)]]), [...SHAPE_CHECKS]);
  return analysis.findings.filter(({ rule }) => SHAPE_CHECKS.includes(rule));
}

/** Whether a finding is at a line with a planted fault, or beside it. */
export function isAt({ table, along, lines }: Planted, { path }: Finding): boolean {
  const breakpoint = /\.([xy])\.breakpoints\[(\d+)\]$/.exec(path);
  if (breakpoint) return breakpoint[1] === along && isNear(lines, Number(breakpoint[2]));
  const [row, column] = [...path.matchAll(/\[(\d+)\]/g)].map(([, index]) => Number(index));
  const index = !table.y || along === 'y' ? row : column;
  return index !== undefined && isNear(lines, index);
}

const isNear = (lines: readonly number[], index: number): boolean =>
  lines.some((line) => Math.abs(line - index) <= 1);
