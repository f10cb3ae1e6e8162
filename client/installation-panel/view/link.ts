import type { Link, Place } from '../../../server/features/installation-view-types.ts';
import { html } from '../../map-panel/view/element.ts';

/** A text that leads to a place, as a button so that the keyboard reaches it; plain text without a place. */
export function linkTo({ text, place }: Link, go: (place: Place) => void): HTMLElement {
  if (!place) return html('span', {}, text);
  const { line } = place.range.start;
  const made = html(
    'button',
    { type: 'button', class: 'link', title: `Go to ${place.name}, line ${line + 1}` },
    text,
  );
  made.addEventListener('click', () => go(place));
  return made;
}

export function pressable(text: string, className: string, press: () => void): HTMLButtonElement {
  const made = html('button', { type: 'button', class: className }, text);
  made.addEventListener('click', press);
  return made;
}
