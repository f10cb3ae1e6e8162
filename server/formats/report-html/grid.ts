import type { Axis, TableValue } from '../../../shared/configuration/values.ts';
import { maximumOf, minimumOf } from '../../../shared/extremes.ts';
import { measuredQuantity } from '../../../shared/quantity/index.ts';
import { type Html, html } from '../../html.ts';
import { decimalPadding, withUnit } from './numbers.ts';
import { LEVELS } from './palette.ts';

/** `Engine speed, rpm` */
export function axisTitle({ quantity, unit }: Axis): string {
  return withUnit(measuredQuantity(quantity)?.entry.label ?? quantity, unit);
}

/**
 * A map as written: one row per y breakpoint, the highest at the top as on a chart, each cell coloured by its value. An
 * incomplete or infinite table is shown without colours, as far as it is written.
 */
export function mapGrid(map: TableValue): Html {
  const { x, y, rows, cells } = map;
  const levels = cells?.every(Number.isFinite) ? levelsOf(cells) : undefined;
  const columns = x?.nodes.length ?? 0;
  const pad = decimalPadding(rows.flatMap((row) => row.map(({ text }) => text)));
  const body = rows.map((row, r) => {
    const written = row.map((cell, c) => gridCell(pad(cell.text), levels?.[r * columns + c]));
    return html`<tr><th scope="row">${y?.nodes[r]?.text}</th>${written}</tr>\n`;
  });
  const heads = x?.nodes.map(({ text }) => html`<th scope="col">${text}</th>`);
  return html`<div class="wide"><table class="map">
<caption>Columns: ${x && axisTitle(x)}; rows: ${y && axisTitle(y)}</caption>
<tbody>${body.reverse()}</tbody>
<tfoot><tr><td></td>${heads}</tr></tfoot>
</table></div>`;
}

function gridCell(text: string, level: number | undefined): Html {
  return level === undefined ? html`<td>${text}</td>` : html`<td class="c${level}">${text}</td>`;
}

/** The colour level of each cell between the lowest and the highest; the middle for a flat map. */
export function levelsOf(cells: Float64Array): number[] {
  const low = minimumOf(cells);
  const span = maximumOf(cells) - low;
  return Array.from(cells, (cell) => Math.round((span > 0 ? (cell - low) / span : 0.5) * (LEVELS - 1)));
}
