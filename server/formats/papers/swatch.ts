import { type Html, html } from '../../html.ts';

/** Insulation colours that a page can show. */
const FILLS: Readonly<Record<string, string>> = {
  black: '#111',
  blue: '#1f5fbf',
  brown: '#7a4a21',
  green: '#2d8a3e',
  grey: '#888',
  gray: '#888',
  orange: '#e8801a',
  pink: '#f2a3bd',
  red: '#c8202a',
  violet: '#7a3fa0',
  purple: '#7a3fa0',
  white: '#fff',
  yellow: '#f2d022',
};

/** A picture of the insulation, with its stripe; nothing for a colour that is not known. */
export function swatch(colour: string): Html | undefined {
  const [ground, stripe] = colour
    .toLowerCase()
    .split(/[-/ ]/)
    .map((word) => FILLS[word]);
  if (ground === undefined) return undefined;
  const line =
    stripe === undefined ? undefined : html`<rect x="0" y="5" width="26" height="3" fill="${stripe}"/>`;
  return html`<svg class="swatch" viewBox="0 0 26 13" aria-hidden="true"><rect x="0.5" y="0.5" width="25" height="12"
 fill="${ground}" stroke="#666"/>${line}</svg>`;
}
