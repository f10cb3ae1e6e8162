import { pinUses } from '../../../shared/configuration/pins.ts';
import { messagesOf, signalsOf } from '../../../shared/derived/bus-signals.ts';
import { isStatus } from '../../../shared/derived/bus-states.ts';
import { outputsThatDrive } from '../../../shared/derived/loads.ts';
import { type ReadingPoint, readingPoints } from '../../../shared/derived/reading-points.ts';
import { columnFormat } from '../../../shared/quantity/index.ts';
import { titleWithUnit } from '../../../shared/tables/scale.ts';
import { type Content, type Html, html } from '../../html.ts';
import { statesText } from '../report-html/bus.ts';
import type { PaperSource } from '../report-html/dossier.ts';
import { GENERATED } from '../report-html/header.ts';
import { faultText } from '../report-html/sensors.ts';
import { writtenText } from '../report-html/written.ts';
import { drawingPart } from './installer-drawing.ts';
import { circuitsPart, cutListPart, facesPart, jointsPart } from './installer-wiring.ts';
import { BLANK, BOX, listTable, type Part, paperText } from './paper.ts';

/** What an installer needs to wire, check and first start the engine. */
export const installerPaper = (source: PaperSource): string =>
  paperText(source, 'Installation', [
    cautions,
    drawingPart(source),
    circuitsPart(source),
    facesPart(source),
    cutListPart(source),
    jointsPart(source),
    busPart(source),
    standbyPart(source),
    sensorsPart(source),
    lightTestPart(source),
    firstStartPart(source),
  ]);

const cautions: Part = {
  title: 'Before you begin',
  body: html`<ul><li>${GENERATED} A licensed person decides what may fly.</li>
<li>Work with the battery disconnected until the wiring has been checked.</li>
<li>Torque, sealing and strain relief follow the maker of each connector; the blanks are for what was done.</li></ul>`,
};

/** Every pin of the standby controller that is used. */
function standbyPart({ analysis: { installation } }: PaperSource): Part | undefined {
  const { standby, configuration } = installation;
  if (!standby) return undefined;
  const rows = pinUses(standby.configuration).map(({ pin, label }): Content[] => [
    pin.text,
    label,
    writtenText(standby.controller?.pins?.[pin.text]?.role),
    BOX,
  ]);
  const over = writtenText(configuration.standby?.changes_over);
  const selector = configuration.standby?.selector;
  return {
    title: 'Standby controller',
    body: [
      html`<p>Changes over: ${over}${selector && html`, with ${writtenText(selector)}`}. The engine runs on each controller alone ${BOX}.</p>`,
      listTable(['Pin', 'Connected', 'Role', 'Checked'], rows),
    ],
  };
}

/** What connects and sets up a display. */
function busPart({ analysis: { installation } }: PaperSource): Part | undefined {
  const { bus } = installation.configuration;
  if (!bus) return undefined;
  const ends = [
    ['controller', bus.termination?.controller],
    ['far end', bus.termination?.far_end],
  ] as const;
  const resistors = ends.flatMap(([end, value]) => (value ? [`${writtenText(value)} at the ${end}`] : []));
  const facts = [
    `Bit rate ${writtenText(bus.bitrate) || 'not stated'}`,
    ...(bus.convention ? [`convention ${bus.convention.text}`] : []),
    ...(bus.pins ? [`pins ${bus.pins.items.map(({ text }) => text).join(' and ')}`] : []),
    ...(resistors.length > 0 ? [`terminated with ${resistors.join(' and ')}`] : []),
  ];
  const rows = messagesOf(installation.configuration).flatMap(({ name, message }) =>
    signalsOf(message).map(({ name: signal, signal: written }, i): Content[] => [
      i === 0 ? `${writtenText(message.id)} ${name}` : '',
      signal,
      `${writtenText(written.start_bit)}, ${writtenText(written.bits)}`,
      isStatus(written)
        ? statesText(written)
        : `× ${writtenText(written.scale)}, from ${writtenText(written.offset) || '0'}`,
      BOX,
    ]),
  );
  return {
    title: 'Bus',
    body: [
      html`<p>${facts.join('; ')}. With the supply off, measured between the two conductors: ${BLANK}.</p>`,
      listTable(['Message', 'Signal', 'Start bit, bits', 'Scale or states', 'Display agrees'], rows),
    ],
  };
}

/** What to measure at each sensor when its quantity has a value. */
function sensorsPart({ analysis: { installation } }: PaperSource): Part | undefined {
  const tables = Object.entries(installation.configuration.sensors ?? {}).flatMap(([name, sensor]) => {
    const read = readingPoints(installation, sensor);
    const table = read && read.points.length > 0 ? readingsTable(read.unit, read.points) : undefined;
    const failed = faultText(sensor);
    if (!table && !failed) return [];
    const pin = sensor.pin && writtenText(sensor.pin);
    return html`<section class="sensor"><h3>${name}${pin && html` <span class="place">at pin ${pin}</span>`}</h3>
${table}${failed}</section>`;
  });
  if (tables.length === 0) return undefined;
  return {
    title: 'Sensor tables',
    body: [
      html`<p>Voltage between the signal pin and sensor ground with everything connected; resistance at the unplugged sensor.</p>`,
      ...tables,
    ],
  };
}

function readingsTable(unit: string, points: readonly ReadingPoint[]): Html {
  const cells = (numbers: readonly number[]) => {
    const text = columnFormat(numbers);
    return numbers.map((number) => html`<td>${text(number)}</td>`);
  };
  const resistances = points.flatMap(({ resistance }) => (resistance === undefined ? [] : resistance / 1000));
  return html`<div class="wide"><table class="points">
<tr><th scope="row">${titleWithUnit('Reading', unit)}</th>${cells(points.map(({ reading }) => reading))}</tr>
<tr><th scope="row">Voltage, V</th>${cells(points.map(({ volts }) => volts))}</tr>
${resistances.length > 0 ? html`<tr><th scope="row">Resistance, kohm</th>${cells(resistances)}</tr>` : undefined}
</table></div>`;
}

function lightTestPart({ analysis: { installation } }: PaperSource): Part | undefined {
  const lights = outputsThatDrive(installation.configuration, 'light');
  if (lights.length === 0) return undefined;
  const rows = lights.map(({ name, output }) => {
    const pin = output.pin;
    const isHigh = pin && installation.controller?.pins?.[pin.text]?.side?.text === 'high';
    return [name, writtenText(output.meaning), writtenText(pin), isHigh ? 'the supply' : 'ground', BOX, BOX];
  });
  return {
    title: 'Light test',
    body: [
      html`<p>With the controller unplugged and the panel supplied, connect the conductor of each light at its pin as given:
the light must come on. With the conductor free it must go out. No other test finds an open light.</p>`,
      listTable(['Light', 'Meaning', 'Pin', 'Connect to', 'Comes on', 'Goes out'], rows),
    ],
  };
}

function firstStartPart({ analysis: { installation } }: PaperSource): Part {
  const { configuration } = installation;
  const { engine, fuel, harness, boost } = configuration;
  const firstTeeth = Object.entries(configuration.sensors ?? {}).flatMap(([name, { first_tooth: tooth }]) =>
    tooth ? `${name} ${writtenText(tooth)}` : [],
  );
  const order = engine?.firing_order?.items.map(({ canonical }) => canonical).join('-');
  const rail = fuel?.rail;
  const over = rail?.regulator?.text === 'manifold-referenced' ? ' above manifold pressure' : '';
  const steps: readonly Content[] = [
    'Engine restrained, propeller area clear, a person at the fuel valve and a fire extinguisher at hand.',
    html`No conductor shorted to ground or supply before the battery is connected; insulation ${BLANK}.`,
    html`Supply at the controller ${writtenText(harness?.supply?.nominal) || 'as stated by its maker'}; measured ${BLANK}.`,
    'Every sensor reads plausibly: temperatures agree with ambient, manifold pressure with ambient pressure, throttle 0 % and 100 % at its stops.',
    'Each injector and coil answers at its own cylinder when its output is switched alone, without fuel pressure.',
    rail?.pressure
      ? html`Fuel pressure ${writtenText(rail.pressure)}${over}, no leaks; measured ${BLANK}.`
      : 'Fuel pressure as stated, no leaks.',
    firstTeeth.length === 0
      ? 'Spark position compared with a timing light while cranking.'
      : `Spark position compared with a timing light while cranking; first tooth: ${firstTeeth.join(', ')}.`,
    ...(order ? [html`Firing order ${order}.`] : []),
    'Oil pressure rises while cranking with ignition and injection off.',
    html`First start without load, idle ${writtenText(engine?.idle_speed) || 'as set'}; all lights out.`,
    ...(boost
      ? [
          html`Wastegate opens before the first run at load; overboost cut ${writtenText(boost.overboost_cut) || 'not stated'}.`,
        ]
      : []),
    'Load raised in steps, mixture and exhaust temperatures watched at each; stopped at the first reading that is not as expected.',
  ];
  return {
    title: 'First start',
    body: html`<table class="list">${steps.map((step) => html`<tr><td>${BOX}</td><td>${step}</td></tr>\n`)}</table>`,
  };
}
