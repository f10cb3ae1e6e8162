import { engineShape } from '../../../shared/configuration/schemas.ts';
import { childShape, shapeAt } from '../../../shared/configuration/shape.ts';
import { html } from '../../html.ts';
import type { ChapterMaker } from './dossier.ts';
import { tableLinks } from './tables.ts';
import { writtenSection, writtenText } from './written.ts';

const SECTIONS = [
  ['engine', 'Engine'],
  ['gearbox', 'Gearbox'],
  ['propeller', 'Propeller'],
  ['fuel', 'Fuel'],
  ['ignition', 'Ignition'],
  ['intake', 'Intake'],
  ['boost', 'Boost'],
  ['closed_loop', 'Closed loops'],
] as const;

/** The sections of the engine, key by key. */
export const engineChapter: ChapterMaker = ({ analysis: { installation } }) => {
  const { configuration } = installation;
  const links = tableLinks(installation);
  const parts = SECTIONS.flatMap(([key, title]) => {
    const section = configuration[key];
    if (!section) return [];
    return html`<h3>${title}</h3>\n${writtenSection(section, childShape(engineShape, key), links)}`;
  });
  return parts.length > 0 ? { id: 'engine', title: 'Configuration', body: html`${parts}` } : undefined;
};

/** The map sets, and what each of them changes. */
export const mapSetsChapter: ChapterMaker = ({ analysis: { installation } }) => {
  const { map_sets: mapSets } = installation.configuration;
  const sets = Object.entries(mapSets?.sets ?? {});
  if (sets.length === 0) return undefined;
  const links = tableLinks(installation);
  const parts = sets.map(([name, set]) => {
    const shape = shapeAt(engineShape, ['map_sets', 'sets', name, 'apply']);
    const changes = set.apply ? writtenSection(set.apply, shape, links) : html`<p>Changes nothing.</p>`;
    const position = writtenText(set.when);
    const active = position ? `Active with the switch ${position}.` : 'Switch position not stated.';
    return html`<h3>${name}</h3>\n<p>${active}</p>
${changes}`;
  });
  const selector = html`<p>Selected by <q>${writtenText(mapSets?.selector) || 'nothing'}</q>.</p>`;
  return { id: 'map-sets', title: 'Map sets', body: html`${selector}${parts}` };
};
