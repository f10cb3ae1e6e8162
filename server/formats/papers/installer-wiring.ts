import { harnessPositions, pinPlan } from '../../../shared/configuration/pin-plan.ts';
import { textsOf } from '../../../shared/configuration/terminals.ts';
import { circuitsOf, type NamedCircuit } from '../../../shared/derived/circuits.ts';
import { wireList } from '../../../shared/derived/wire-list.ts';
import { groupedBy } from '../../../shared/grouped-by.ts';
import { formatNumber } from '../../../shared/quantity/index.ts';
import { type Content, type Html, html } from '../../html.ts';
import type { PaperSource } from '../report-html/dossier.ts';
import { writtenText } from '../report-html/written.ts';
import { BLANK, BOX, listTable, type Part } from './paper.ts';
import { swatch } from './swatch.ts';

const coloured = (colour: string): Content => [swatch(colour), ' ', colour];

/** Every circuit from end to end, with a box to tick. */
export function circuitsPart({ analysis: { installation } }: PaperSource): Part {
  const lines = wireList(installation.configuration);
  const heads = [
    'Circuit',
    'From',
    'To',
    'Via',
    'Gauge',
    'Colour',
    'Length, m',
    'Shield',
    'Protector',
    'Done',
  ];
  const rows = lines.map(({ circuit, from, to, via, gauge, colour, length, shield, protector }) => [
    ...[circuit, from, to.map((end) => html`<div>${end}</div>`), via.join(', '), gauge, coloured(colour)],
    ...[length === undefined ? '' : formatNumber(length), shield, protector, BOX],
  ]);
  const note =
    circuitsOf(installation.configuration).length > 0
      ? undefined
      : html`<p>The file has no circuits from end to end (<code>harness.circuits</code>); these are the wires of its connectors.</p>`;
  return { title: 'Wire list by circuit', body: [note, listTable(heads, rows, 'circuits')] };
}

interface Position {
  readonly name: string;
  /** As circuits name it. */
  readonly place: string;
  readonly circuit: NamedCircuit | undefined;
  /** What is there according to the rest of the file. */
  readonly use: string;
}

interface Face {
  readonly title: string;
  readonly remarks: readonly string[];
  readonly positions: readonly Position[];
}

/** Every connector with what is in each position. */
export function facesPart({ analysis: { installation } }: PaperSource): Part | undefined {
  const { configuration, controller } = installation;
  const circuits = circuitsOf(configuration);
  const at = new Map(
    circuits.flatMap((one) => [...one.ends, ...one.via].map(({ text }) => [text, one] as const)),
  );
  const shieldsAt = (end: string): string[] =>
    Object.entries(configuration.harness?.shields ?? {}).flatMap(([name, { grounded_at: grounded }]) =>
      textsOf(grounded).some(({ text }) => text === end) ? [`shield ${name}`] : [],
    );
  const ofController = pinPlan(configuration, controller).connectors.map(
    ({ name, pins }): Face => ({
      title: `Controller connector ${name}`,
      remarks: [],
      positions: pins.map((pin) => ({
        name: pin.name,
        place: `controller.${pin.name}`,
        circuit: at.get(`controller.${pin.name}`),
        use: [...pin.uses.map(({ label }) => label), ...shieldsAt(`controller.${pin.name}`)].join(', '),
      })),
    }),
  );
  const ofHarness = Object.entries(configuration.harness?.connectors ?? {}).map(([name, connector]): Face => {
    const { contact, housing, mates_with: mate, wires } = connector;
    const parts = [
      ['housing', writtenText(housing)],
      ['mates with', writtenText(mate)],
      [
        'contacts',
        [writtenText(contact?.gauge), writtenText(contact?.part), writtenText(contact?.material)]
          .filter(Boolean)
          .join(', '),
      ],
    ] as const;
    return {
      title: `Connector ${name}`,
      remarks: parts.flatMap(([label, text]) => (text ? `${label}: ${text}` : [])),
      positions: harnessPositions(name, connector, at.keys()).map((position) => ({
        name: position,
        place: `${name}.${position}`,
        circuit: at.get(`${name}.${position}`),
        use: writtenText(wires?.[position]?.circuit),
      })),
    };
  });
  const faces = [...ofController, ...ofHarness].filter(({ positions }) => positions.length > 0);
  if (faces.length === 0) return undefined;
  return {
    title: 'Wire list by connector',
    body: [
      html`<p>Seen from the wire side, positions in order of their numbers. The arrangement on the body is marked on the
connector itself.</p>`,
      ...faces.map(faceHtml),
    ],
  };
}

/** `to sensors.crank.supply`: the ends of a circuit other than the place itself; where it passes, both sides. */
function farEnds({ ends, via }: NamedCircuit, place: string): string {
  const isPassed = via.some(({ text }) => text === place);
  const [first, ...others] = ends.map(({ text }) => text).filter((text) => text !== place);
  return isPassed ? `${first} to ${others.join(', ')}` : `to ${[first, ...others].join(', ')}`;
}

const faceHtml = ({
  title,
  remarks,
  positions,
}: Face): Html => html`<section class="connector"><h3>${title}</h3>
<p>${[...remarks, 'sealing plugs '].join(' · ')}${BLANK} torque ${BLANK} checked ${BOX}</p>
<div class="face">${positions.map(({ name, place, circuit, use }) => {
  const isUsed = circuit !== undefined || use !== '';
  const colour = circuit?.circuit.colour?.text ?? '';
  return html`<div${isUsed ? '' : html` class="unused"`}><strong>${name}</strong> ${swatch(colour)}
<div>${circuit?.name ?? use}</div>${circuit && html`<div class="remark">${farEnds(circuit, place)}</div>`}${[colour, writtenText(circuit?.circuit.gauge)].filter(Boolean).join(', ')}</div>`;
})}</div></section>`;

/** The lengths to cut, by kind of wire. */
export function cutListPart({ analysis: { installation } }: PaperSource): Part | undefined {
  const lines = wireList(installation.configuration).filter(({ length }) => length !== undefined);
  if (lines.length === 0) return undefined;
  const groups = groupedBy(lines, ({ gauge, colour }) => [gauge, colour].join('\n'));
  const rows = [...groups.values()].flatMap((alike) => {
    const total = alike.reduce((sum, { length, pieces }) => sum + length! * pieces, 0);
    const { gauge, colour } = alike[0]!;
    return [
      ...alike.map(({ circuit, length, pieces, via, shield }) => [
        ...[circuit, gauge, coloured(colour), formatNumber(length!), pieces, via.join(', '), shield],
        Array.from({ length: pieces }, () => html`${BOX} `),
      ]),
      ...(alike.length > 1
        ? [
            [
              ...[html`<strong>Total</strong>`, gauge, coloured(colour)],
              ...[html`<strong>${formatNumber(total)}</strong>`, '', '', '', ''],
            ],
          ]
        : []),
    ];
  });
  return {
    title: 'Cut list',
    body: [
      html`<p>Length of each piece as stated in the file, without allowance for stripping and service loops. A circuit with several ends
has a piece to each of them. A circuit that passes connectors is listed as one length and is divided at each of them.</p>`,
      html`<div class="cuts">${listTable(['Circuit', 'Gauge', 'Colour', 'Length, m', 'Pieces', 'Via', 'Shield', 'Cut'], rows)}</div>`,
    ],
  };
}

/** Splices, shields and terminals that stay open. */
export function jointsPart({ analysis: { installation } }: PaperSource): Part | undefined {
  const { harness } = installation.configuration;
  const circuits = circuitsOf(installation.configuration);
  const splices = Object.entries(harness?.splices ?? {}).map(([name, { location }]) => {
    const joined = circuits.filter(({ ends }) => ends.some(({ text }) => text === `splices.${name}`));
    return [name, writtenText(location), joined.map((one) => one.name).join(', '), BOX];
  });
  const shields = Object.entries(harness?.shields ?? {}).map(([name, { grounded_at: at }]) => {
    const inside = circuits.filter(({ circuit }) => circuit.shield?.text === name);
    return [
      name,
      textsOf(at)
        .map(({ text }) => text)
        .join(', '),
      inside.map((one) => one.name).join(', '),
      BOX,
    ];
  });
  const open = harness?.open?.items.map(({ text }) => text) ?? [];
  if (splices.length + shields.length + open.length === 0) return undefined;
  return {
    title: 'Splices and shields',
    body: [
      splices.length > 0 ? listTable(['Splice', 'Place', 'Circuits', 'Done'], splices) : undefined,
      shields.length > 0 ? listTable(['Shield', 'Connected at', 'Circuits', 'Done'], shields) : undefined,
      open.length > 0 ? html`<p>Stay unconnected: ${open.join(', ')}.</p>` : undefined,
    ],
  };
}
