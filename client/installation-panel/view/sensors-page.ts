import type {
  CurveView,
  InstallationView,
  SensorView,
} from '../../../server/features/installation-view-types.ts';
import { titleWithUnit } from '../../../shared/tables/scale.ts';
import { html } from '../../map-panel/view/element.ts';
import type { Host } from './choices.ts';
import { curveChart } from './curve-chart.ts';
import { linkTo } from './link.ts';

/** One sensor at a time: its keys, and its readings over its input as a chart and a table. */
export function sensorsPage({ sensors }: InstallationView, host: Host, width: number): HTMLElement[] {
  const sensor = sensors.find(({ name }) => name === host.choices.sensor) ?? sensors[0];
  if (!sensor) return [html('p', { class: 'note' }, 'This file has no sensors.')];
  return [
    html('p', { class: 'choice' }, choiceOf(sensors, sensor, host)),
    writtenList(sensor, host),
    ...(sensor.curves.length === 0
      ? [
          html(
            'p',
            { class: 'note' },
            'This sensor has no curve: it has no voltage or resistance input, or the keys that define its readings are incomplete.',
          ),
        ]
      : sensor.curves.map((curve) => curvePart(sensor, curve, width))),
  ];
}

function choiceOf(sensors: readonly SensorView[], chosen: SensorView, host: Host): HTMLElement {
  const option = ({ name, measures, curves }: SensorView) =>
    html(
      'option',
      { value: name, ...(name === chosen.name && { selected: '' }) },
      `${name} — ${measures}${curves.length === 0 ? ' (no curve)' : ''}`,
    );
  const choice = html('select', { 'aria-label': 'Sensor', 'data-key': 'sensor' }, ...sensors.map(option));
  choice.addEventListener('change', () => host.choose({ sensor: choice.value }));
  return choice;
}

function writtenList({ written }: SensorView, host: Host): HTMLElement {
  return html(
    'dl',
    { class: 'written' },
    ...written.map(({ label, text, place }) =>
      html('div', {}, html('dt', {}, label), html('dd', {}, linkTo({ text, place }, host.go))),
    ),
  );
}

/** From this width, the table is next to the chart. */
const WIDE = 700;
const TABLE_WIDTH = 220;
/** Space for the last number of the frame. */
const EDGE = 14;

function curvePart(sensor: SensorView, curve: CurveView, width: number): HTMLElement {
  const isWide = width > WIDE;
  const drawn = (isWide ? width - TABLE_WIDTH : width) - EDGE;
  return html(
    'section',
    { class: isWide ? 'curve wide' : 'curve', 'aria-label': `${sensor.name} over ${curve.input.label}` },
    html('figure', {}, curveChart(sensor.name, curve, drawn, isWide ? 380 : 300)),
    html('div', { class: 'numbers' }, curveTable(curve)),
  );
}

function curveTable({ input, reading, table }: CurveView): HTMLElement {
  const rows = table.map((row) =>
    html(
      'tr',
      { class: row.isFailed ? 'failed' : row.isStated ? 'stated' : undefined },
      html('td', {}, row.input),
      html('td', {}, row.isFailed ? 'fault' : (row.reading ?? '–')),
      html('td', { class: 'words' }, row.isStated ? 'in file' : ''),
    ),
  );
  return html(
    'table',
    { class: 'list figures' },
    html(
      'thead',
      {},
      html(
        'tr',
        {},
        html('th', { scope: 'col' }, titleWithUnit('Input', input.unit)),
        html('th', { scope: 'col' }, titleWithUnit('Reading', reading.unit)),
        html('td'),
      ),
    ),
    html('tbody', {}, ...rows),
  );
}
