import type { Output } from '../../../generated/configuration.ts';
import { messagesOf, signalsOf } from '../../../shared/derived/bus-signals.ts';
import { statesOf } from '../../../shared/derived/bus-states.ts';
import {
  limitsOfSets,
  type SetLimit,
  type WarningLight,
  warningLights,
} from '../../../shared/derived/lights.ts';
import { SEVERITIES } from '../../../shared/faults/severity.ts';
import type { FaultRow } from '../../../shared/faults/table.ts';
import { type Content, html } from '../../html.ts';
import type { Dossier } from '../report-html/dossier.ts';
import { GENERATED } from '../report-html/header.ts';
import { actionsOf, meaningText, quantityName, thresholdText } from '../report-html/limits.ts';
import { writtenText } from '../report-html/written.ts';
import { listTable, type Part, paperText } from './paper.ts';

/** One page for the cockpit: lights, switch, limits, and what goes with a fault. */
export const pilotPaper = (dossier: Dossier): string =>
  paperText(
    dossier,
    'For the pilot',
    [
      { title: 'Caution', body: CAUTION },
      lightsPart(dossier),
      switchPart(dossier),
      standbyPart(dossier),
      displayPart(dossier),
      limitsPart(dossier),
      faultsPart(dossier),
    ],
    'short',
  );

const CAUTION = html`<p>${GENERATED} The flight manual and the placards of the aircraft come first.</p>`;

/**
 * What to do if a light comes on, by common practice; the file states no procedure. Less power raises no value that is too low, and
 * may lower it further.
 */
const PROCEDURES = {
  caution: 'Reduce power until it goes out, and watch the value.',
  low: 'Watch the value; land when practical.',
  warning: 'Reduce power at once. Land as soon as practical.',
  status: 'Keep power moderate and land when practical.',
} as const;

function lightsPart({ analysis: { installation } }: Dossier): Part | undefined {
  const lights = warningLights(installation);
  if (lights.length === 0) return undefined;
  const rows = lights.map((light) => {
    const { name, output } = light;
    const comesOn = causesText(light);
    const then = comesOn && output.meaning ? PROCEDURES[procedureOf(output.meaning.text, light)] : '';
    return [name, meaningText(output), comesOn ?? 'nothing in the file switches it on', then];
  });
  return {
    title: 'Lights',
    body: listTable(['Light', 'Meaning', 'Comes on if', 'What to do (common practice)'], rows),
  };
}

/** Reducing power is advice only for a light that nothing but a value too high switches on. */
const procedureOf = (
  meaning: NonNullable<Output['meaning']>['text'],
  { limits }: WarningLight,
): keyof typeof PROCEDURES =>
  meaning === 'caution' && !limits.every(({ limit }) => limit.direction === 'above') ? 'low' : meaning;

/** What switches a light on, with the names of the quantities and sensors; undefined if nothing does. */
function causesText({ output, limits, sensors }: WarningLight): string | undefined {
  if (limits.length > 0) {
    const names = limits.map(
      ({ limit, mapSet }) => quantityName(limit.watches).toLowerCase() + inSet(mapSet),
    );
    return `a value is beyond its ${output.meaning?.text} limit: ${[...new Set(names)].join(', ')}`;
  }
  if (sensors.length === 0) return undefined;
  const without = sensors.filter(([, { substitute }]) => !substitute);
  const exception = without.length > 0 ? `, except for ${without.map(([name]) => name).join(', ')}` : '';
  const replaced =
    without.length === sensors.length
      ? 'The file states no substitute value.'
      : `The controller then uses its substitute value${exception}.`;
  return `a sensor fails: ${sensors.map(([name]) => name).join(', ')}. ${replaced}`;
}

const inSet = (mapSet: string | undefined): string => (mapSet === undefined ? '' : ` in map set ${mapSet}`);

function switchPart({ analysis: { installation } }: Dossier): Part | undefined {
  const { map_sets: mapSets } = installation.configuration;
  const sets = Object.entries(mapSets?.sets ?? {});
  if (sets.length === 0) return undefined;
  const rows = sets.map(([name, { when }]): Content[] => [writtenText(when), name]);
  return {
    title: `Switch ${writtenText(mapSets?.selector)}`,
    body: listTable(['Position', 'Map set'], rows),
  };
}

/** Which switch position selects the standby controller, and what it does not do. */
function standbyPart({ analysis: { installation }, faults }: Dossier): Part | undefined {
  const { standby } = installation.configuration;
  if (!standby) return undefined;
  const isBySwitch = standby.changes_over?.text === 'switch';
  const lost = faults.find(({ of }) => of === 'controller');
  const how = isBySwitch
    ? html`If the engine stops with fuel and spark available, move <strong>${writtenText(standby.selector)}</strong> to the standby controller.`
    : 'The standby controller takes over by itself when the first controller no longer runs the engine.';
  const loads = (lost?.losesAll ? [] : (lost?.lost ?? [])).filter((path) =>
    /^(?:outputs|closed_loop|protection|boost)\./.test(path),
  );
  const without = loads.length > 0 ? `With it, these do not work: ${loads.join(', ')}.` : '';
  return {
    title: 'Standby controller',
    body: html`<p>${how} ${without} Test it before flight: nothing else shows that it works.</p>`,
  };
}

/** What the status signals make a display show. */
function displayPart({ analysis: { installation } }: Dossier): Part | undefined {
  const rows = messagesOf(installation.configuration).flatMap(({ message }) =>
    signalsOf(message).flatMap(({ name, signal }): Content[][] => {
      const words = statesOf(signal).map(({ word }) => word.text);
      return words.length > 0 ? [[name, writtenText(signal.of), words.join(', ')]] : [];
    }),
  );
  if (rows.length === 0) return undefined;
  return { title: 'Status on the panel display', body: listTable(['Status', 'Of', 'Shows'], rows) };
}

function limitsPart({ analysis: { installation } }: Dossier): Part | undefined {
  const limits = limitsOfSets(installation);
  if (limits.length === 0) return undefined;
  const row = ({ limit, mapSet, isRemoved }: SetLimit): Content[] => {
    const { watches, direction, caution, warning, section } = limit;
    const automatic = actionsOf(section).filter((action) => action !== 'light');
    const quantity = `${quantityName(watches)} ${direction}${inSet(mapSet)}`;
    if (isRemoved) return [quantity, 'removed', 'removed', 'removed'];
    return [
      quantity,
      html`<span class="warning">${thresholdText(caution) || '–'}</span>`,
      html`<span class="error">${thresholdText(warning) || '–'}</span>`,
      automatic.join(', ') || 'none',
    ];
  };
  return {
    title: 'Limits',
    body: listTable(['Quantity', 'Caution', 'Warning', 'Automatic action'], limits.map(row)),
  };
}

/** The most that a page holds besides the rest. */
const MOST = 12;

/** Single wires and fuses are in the fault table. */
const isPart = ({ of }: FaultRow): boolean =>
  !/^harness\.(?:connectors\..*\.wires|circuits|splices)\./.test(of);

/** Which failures stop or endanger the engine, what is no longer watched, and the notes of the file. */
function faultsPart({ faults }: Dossier): Part | undefined {
  const parts = faults.filter(isPart);
  const severe = (['stops', 'damages'] as const).flatMap((severity) => {
    const names = [...new Set(parts.filter((row) => row.severity === severity).map(({ of }) => of))];
    if (names.length === 0) return [];
    const rest = names.length > MOST ? ` and ${names.length - MOST} more` : '';
    return html`<tr><th scope="row">${SEVERITIES[severity]}</th><td>${names.slice(0, MOST).join(', ')}${rest}</td></tr>\n`;
  });
  const watched = parts.filter(({ of }) => of.startsWith('sensors.'));
  const unwatched = new Map(
    watched.map(({ of, lost }) => [
      of,
      lost.filter((path) => path.startsWith('protection.')).map((path) => path.replace('protection.', '')),
    ]),
  );
  const limits = [...unwatched].flatMap(([of, names]) =>
    names.length > 0
      ? html`<tr><th scope="row">Without ${of}</th><td>not watched: ${names.join(', ')}</td></tr>\n`
      : [],
  );
  const stated = new Map(
    faults.flatMap(({ of, stated: note }) => (note === undefined ? [] : [[of, note] as const])),
  );
  const notes = [...stated].map(
    ([of, note]) => html`<tr><th scope="row">${of}</th><td>${note} <em>(stated)</em></td></tr>\n`,
  );
  const rows = [...severe, ...limits, ...notes];
  return rows.length > 0 ? { title: 'Failures', body: html`<table class="list">${rows}</table>` } : undefined;
}
