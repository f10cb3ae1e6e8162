import type { Sensor } from '../../../generated/configuration.ts';
import type { Installation } from '../../../shared/configuration/installation.ts';
import { engineShape } from '../../../shared/configuration/schemas.ts';
import { shapeAt } from '../../../shared/configuration/shape.ts';
import type { Derivation } from '../../../shared/derived/derivation.ts';
import { allValues } from '../../../shared/derived/registry.ts';
import { readingUnit } from '../../../shared/derived/sensor-curve.ts';
import { inputSpan, sensorValueAt } from '../../../shared/derived/sensor-reading.ts';
import { type DerivedValue, valueText } from '../../../shared/derived/value.ts';
import { groupedBy } from '../../../shared/grouped-by.ts';
import { formatNumber } from '../../../shared/quantity/index.ts';
import { type PathStep, pathOf } from '../../../shared/source/tree.ts';
import { titleWithUnit } from '../../../shared/tables/scale.ts';
import { type Html, html } from '../../html.ts';
import type { ChapterMaker } from './dossier.ts';
import { numberText } from './numbers.ts';
import { tableLinks } from './tables.ts';
import { writtenText, writtenValues } from './written.ts';

/** Each sensor as it is written, what follows from that, and what it reads over its input. */
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

/** What follows from a sensor stands somewhere in it, so its path says whose it is. */
function valuesBySensor(derivation: Derivation): ReadonlyMap<PathStep | undefined, readonly DerivedValue[]> {
  return groupedBy(allValues(derivation), ({ node }) => {
    const [section, name] = pathOf(node);
    return section === 'sensors' ? name : undefined;
  });
}

function derivedList(values: readonly DerivedValue[]): Html {
  const byLabel = groupedBy(values, ({ label }) => label);
  // What follows at each of several points is told apart by its point.
  const named = ({ label, node }: DerivedValue) =>
    byLabel.get(label)!.length > 1 ? `${label}, ${pathOf(node).at(-1)}` : label;
  return html`<table class="written">${values.map(
    (value) => html`<tr><th scope="row">${named(value)}</th><td>${valueText(value)}</td>
<td class="meaning">${value.formula}</td></tr>\n`,
  )}</table>`;
}

const STEPS = 10;

/** What the sensor reports over its input, in tenths of it: for a check with a voltmeter. */
function readingTable(installation: Installation, sensor: Sensor): Html | undefined {
  const span = inputSpan(installation, sensor);
  const show = readingUnit(sensor);
  if (!span || show === undefined) return undefined;
  const volts = Array.from({ length: STEPS + 1 }, (_, i) => span[0] + ((span[1] - span[0]) * i) / STEPS);
  const readings = volts.map((at) => readingAt(installation, sensor, at, show));
  if (readings.every((reading) => reading === undefined || reading === 'failed')) return undefined;
  const reads = readings.map((text) => html`<td>${text ?? '–'}</td>`);
  return html`<div class="wide"><table class="points">
<tr><th scope="row">at the input, V</th>${volts.map((at) => html`<td>${formatNumber(at)}</td>`)}</tr>
<tr><th scope="row">${titleWithUnit('reads', show)}</th>${reads}</tr>
</table></div>${faultText(sensor)}`;
}

/** A voltage outside the fault bounds is no reading, whatever the curve would make of it. */
function readingAt(
  installation: Installation,
  sensor: Sensor,
  volts: number,
  show: string,
): string | undefined {
  const { fault_outside: bounds } = sensor;
  if (bounds && (volts < bounds.low.canonical || volts > bounds.high.canonical)) return 'failed';
  const value = sensorValueAt(installation, sensor, volts);
  return value && numberText(value.canonical, show);
}

function faultText({ fault_outside: bounds, substitute }: Sensor): Html | undefined {
  if (!bounds) return undefined;
  const then = substitute ? `${writtenText(substitute)} stands in` : 'nothing stands in';
  return html`<p>Outside ${writtenText(bounds)} the sensor has failed, and ${then}.</p>`;
}
