import type { EngineConfiguration } from '../generated/configuration.ts';
import { circuitsOf, type NamedCircuit } from '../shared/derived/circuits.ts';
import { wireList } from '../shared/derived/wire-list.ts';
import { FONT_SIZE, type HarnessDrawing, harnessDrawing } from '../shared/harness/drawing.ts';
import { type Html, html } from './html.ts';

/** Neighbouring lines differ in colour; the page that shows the drawing says how. */
const COLOURS = 6;

/**
 * A drawing of circuits as SVG: of all, or of some. Each circuit is a group with the class `circuit`, its name in `data-circuit` and its
 * line of the wire list as its title. The page sets the colours.
 */
export function harnessSvg(
  configuration: EngineConfiguration,
  circuits: readonly NamedCircuit[] = circuitsOf(configuration),
): Html {
  const drawing = harnessDrawing(configuration, circuits);
  const words = circuitWords(configuration);
  const { width, height, boxes, texts } = drawing;
  return html`<svg class="harness" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}"
 font-size="${FONT_SIZE}" role="group" aria-label="Harness drawing">
${boxes.map(
  ({ kind, x, y, width: w, height: h }) =>
    html`<rect class="frame ${kind}" x="${x}" y="${y}" width="${w}" height="${h}" rx="2"/>\n`,
)}${lines(drawing, words)}${texts.map(
  ({ text, x, y, isAtEnd, kind }) =>
    html`<text class="${kind}" x="${rounded(x)}" y="${rounded(y)}"${isAtEnd ? html` text-anchor="end"` : undefined}>${text}</text>\n`,
)}</svg>`;
}

const lines = ({ circuits }: HarnessDrawing, words: ReadonlyMap<string, string>): readonly Html[] =>
  circuits.map(({ name, stretches, joints }, i) => {
    const path = stretches.map((stretch) => {
      const [x1, y1, x2, y2] = stretch.map(rounded);
      return `M${x1} ${y1}L${x2} ${y2}`;
    });
    const dots = joints.map(([x, y]) => html`<circle cx="${rounded(x)}" cy="${rounded(y)}" r="2"/>`);
    const title = words.get(name) ?? name;
    return html`<g class="circuit line-${i % COLOURS}" data-circuit="${name}" aria-label="${title}"><title>${title}</title><path class="reach" d="${path.join('')}"/><path class="wire" d="${path.join('')}"/>${dots}</g>\n`;
  });

const rounded = (length: number): number => Math.round(length * 10) / 10;

/** `map_signal: controller.A1 to sensors.manifold_pressure.signal via bulkhead.1, 22 AWG, white-blue, 0.9 m` */
const circuitWords = (configuration: EngineConfiguration): ReadonlyMap<string, string> =>
  new Map(
    wireList(configuration).map(({ circuit, from, to, via, gauge, colour, length, shield, protector }) => {
      const way = via.length > 0 ? ` via ${via.join(', ')}` : '';
      const parts = [
        `${from} to ${to.join(', ')}${way}`,
        gauge,
        colour,
        length === undefined ? '' : `${length} m`,
        shield && `shield ${shield}`,
        protector && `protected by ${protector}`,
      ];
      return [circuit, `${circuit}: ${parts.filter(Boolean).join(', ')}`];
    }),
  );
