import type { Explanation, InputView, ValueAsked } from '../../../server/features/installation-view-types.ts';
import { html } from '../../map-panel/view/element.ts';
import type { Host } from './choices.ts';
import { linkTo, pressable } from './link.ts';

/** The derivation of a value: formula, formula with numbers, the origin of each input, and the source. */
export function explanationOf(explanation: Explanation, asked: ValueAsked, host: Host): HTMLElement[] {
  const { isOfState, label, text, notes, formula, substituted, inputs, movers, sources, place } = explanation;
  return [
    ...trailOf(explanation, asked, host),
    html('h2', {}, label, ' ', html('output', {}, text)),
    ...notes.map((note) => html('p', { class: 'note' }, note)),
    ...(isOfState ? [pressable('Add as operating point', 'add', () => host.addState(asked.value))] : []),
    html('p', { class: 'formula' }, formula),
    html('p', { class: 'formula' }, `= ${substituted}`),
    html(
      'table',
      { class: 'inputs', 'aria-label': 'Inputs' },
      html('tbody', {}, ...inputs.map((input, i) => inputRow(input, i, asked, host))),
    ),
    ...(movers === null ? [] : [html('p', { class: 'note' }, `${movers}.`)]),
    html('p', { class: 'note' }, `Source: ${sources.join('; ')}`),
    ...(place
      ? [html('p', { class: 'note' }, 'Applies to ', linkTo({ text: place.name, place }, host.go), '.')]
      : []),
  ];
}

/** The values on the path to this one, each a link back. */
function trailOf({ trail }: Explanation, { value, through }: ValueAsked, host: Host): HTMLElement[] {
  if (trail.length === 0) return [];
  const steps = trail.flatMap((label, i) => [
    pressable(label, 'link', () => host.explain({ value, through: through.slice(0, i) })),
    ' › ',
  ]);
  return [html('nav', { class: 'note', 'aria-label': 'Path to this value' }, ...steps)];
}

function inputRow(input: InputView, index: number, { value, through }: ValueAsked, host: Host): HTMLElement {
  const { symbol, label, text, how, place, isDerived } = input;
  const name = isDerived
    ? pressable(label, 'link', () => host.explain({ value, through: [...through, index] }))
    : html('span', {}, label);
  const from = [how, place && !isDerived ? linkTo({ text: place.name, place }, host.go) : null];
  const known = from.filter((part) => part !== null);
  return html(
    'tr',
    {},
    html('th', { scope: 'row', class: 'symbol' }, symbol),
    html('td', { class: 'number' }, text),
    html('td', {}, name),
    html('td', {}, ...known.flatMap((part, i) => (i === 0 ? [part] : [', ', part]))),
  );
}
