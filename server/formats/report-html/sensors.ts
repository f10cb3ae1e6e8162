import type { Sensor } from '../../../generated/configuration.ts';
import type { Installation } from '../../../shared/configuration/installation.ts';
import { engineShape } from '../../../shared/configuration/schemas.ts';
import { shapeAt } from '../../../shared/configuration/shape.ts';
import type { Derivation } from '../../../shared/derived/derivation.ts';
import { allValues } from '../../../shared/derived/registry.ts';
import { readingUnit } from '../../../shared/derived/sensor-curve.ts';
import { inputSpan, sensorValueAt } from '../../../shared/derived/sensor-reading.ts';
import type { DerivedValue } from '../../../shared/derived/value.ts';
import { groupedBy } from '../../../shared/grouped-by.ts';
import { columnFormat, columnInUnit } from '../../../shared/quantity/index.ts';
import { type PathStep, pathOf } from '../../../shared/source/tree.ts';
import { titleWithUnit } from '../../../shared/tables/scale.ts';
import { type Html, html } from '../../html.ts';
import { resultsIn } from '../derive-report.ts';
import type { ChapterMaker } from './dossier.ts';
import { tableLinks } from './tables.ts';
import { writtenText, writtenValues } from './written.ts';

/** Each sensor with its keys, derived values and readings over its input. */
export const sensorsChapter: ChapterMaker = (dossier) => {
  const sensors = Object.entries(dossier.analysis.installation.configuration.sensors ?? {});
  if (sensors.length === 0) return undefined;
  const { installation, derivation } = dossier.analysis;
  const links = tableLinks(installation);
  const derived = valuesBySensor(derivation);
  const parts = sensors.map(([name, sensor]) => {
    const own = derived.get(name) ?? [];
    return html`<section class="sensor"><h3>${name}</h3>
${writtenValues(sensor, shapeAt(engineShape, ['sensors', name]), links)}
${own.length > 0 ? derivedList(own) : undefined}
${readingTable(installation, sensor)}
</section>`;
  });
  return { id: 'sensors', title: 'Sensors', body: html`${parts}` };
};

/** The derived values of a sensor have places in it, so that their paths name the sensor. */
function valuesBySensor(derivation: Derivation): ReadonlyMap<PathStep | undefined, readonly DerivedValue[]> {
  return groupedBy(allValues(derivation), ({ node }) => {
    const [section, name] = pathOf(node);
    return section === 'sensors' ? name : undefined;
  });
}

function derivedList(values: readonly DerivedValue[]): Html {
  const byLabel = groupedBy(values, ({ label }) => label);
  const resultOf = resultsIn(values);
  // Values at several points of a curve have the point in their name.
  const named = ({ label, node }: DerivedValue) =>
    byLabel.get(label)!.length > 1 ? `${label}, ${pathOf(node).at(-1)}` : label;
  return html`<table class="written">${values.map(
    (value) => html`<tr><th scope="row">${named(value)}</th><td>${resultOf(value)}</td>
<td class="meaning">${value.formula}</td></tr>\n`,
  )}</table>`;
}

const STEPS = 10;

/** The readings of a sensor at eleven points of its input range, for a check with a voltmeter. */
function readingTable(installation: Installation, sensor: Sensor): Html | undefined {
  const span = inputSpan(installation, sensor);
  const show = readingUnit(sensor);
  if (!span || show === undefined) return undefined;
  const volts = Array.from({ length: STEPS + 1 }, (_, i) => span[0] + ((span[1] - span[0]) * i) / STEPS);
  const readings = volts.map((at) => readingAt(installation, sensor, at));
  const numbers = readings.filter((reading) => typeof reading === 'number');
  if (numbers.length === 0) return undefined;
  const [voltage, number] = [columnFormat(volts), columnInUnit(numbers, show)];
  const reads = readings.map(
    (reading) => html`<td>${typeof reading === 'number' ? number(reading) : reading}</td>`,
  );
  return html`<div class="wide"><table class="points">
<tr><th scope="row">Input voltage, V</th>${volts.map((at) => html`<td>${voltage(at)}</td>`)}</tr>
<tr><th scope="row">${titleWithUnit('Reading', show)}</th>${reads}</tr>
</table></div>${faultText(sensor)}`;
}

/** The canonical reading; outside the fault bounds the sensor has failed, whatever its curve gives there. */
function readingAt(installation: Installation, sensor: Sensor, volts: number): number | 'failed' | '–' {
  const { fault_outside: bounds } = sensor;
  if (bounds && (volts < bounds.low.canonical || volts > bounds.high.canonical)) return 'failed';
  return sensorValueAt(installation, sensor, volts)?.canonical ?? '–';
}

/** The fault bounds of a sensor and what the controller then uses; nothing if the file states no fault bounds. */
export function faultText({ fault_outside: bounds, substitute }: Sensor): Html | undefined {
  if (!bounds) return undefined;
  const then = substitute ? `substitute value ${writtenText(substitute)}` : 'no substitute value';
  return html`<p>Failed outside ${writtenText(bounds)}: ${then}.</p>`;
}
