import { type GridAxis, type GridDifference, hasChanged, placeInGrid } from '../../shared/compare/grid.ts';
import { stepUnit } from '../../shared/compare/step.ts';
import { cellText } from '../../shared/compare/words.ts';
import { maximumOf } from '../../shared/extremes.ts';
import { axisTitle } from '../../shared/tables/axis-title.ts';
import { extentOf, shareOf } from '../../shared/tables/scale.ts';
import { type Html, html } from '../html.ts';
import { breakpoint, cellValue, deltaText } from './compare-grid.ts';

/** Shades of a map of differences, for each direction. */
const SHADES = 4;

/**
 * A map of differences, the highest row at the top as on a chart: each cell has its difference above its new value,
 * shaded by direction and size.
 */
export function mapDrawing(grid: GridDifference): Html | undefined {
  const { x, y, moved } = grid;
  if (!y || moved.length === 0) return undefined;
  const most = maximumOf(moved.map((i) => Math.abs(grid.is[i]! - grid.was[i]!)));
  const isMoved = new Set(moved);
  const rows = y.breakpoints.map((_, row) => {
    const cells = x.breakpoints.map((_, column) => {
      const index = row * x.breakpoints.length + column;
      return isMoved.has(index) ? movedCell(grid, index, most) : stillCell(grid, index);
    });
    return html`<tr><th scope="row">${breakpoint(y, row)}</th>${cells}</tr>\n`;
  });
  const feet = x.breakpoints.map((_, column) => html`<th scope="col">${breakpoint(x, column)}</th>`);
  const unit = stepUnit(grid.unit);
  return html`<div class="scroll"><table class="map">
<caption>Columns: ${axisTitle(x)}; rows: ${axisTitle(y)};
each cell: difference${unit && ` in ${unit}`}, new value below</caption>
<tbody>
${rows.reverse()}</tbody>
<tfoot><tr><th></th>${feet}</tr></tfoot>
</table></div>`;
}

function movedCell(grid: GridDifference, index: number, most: number): Html {
  const value = cellValue(grid, grid.is[index]!);
  const step = grid.is[index]! - grid.was[index]!;
  const shade = Math.max(1, Math.ceil((Math.abs(step) / most) * SHADES));
  const side = step > 0 ? 'up' : 'down';
  const title =
    `${cellText(grid, index)}: ${cellValue(grid, grid.was[index]!)} → ${value} ${grid.unit}`.trimEnd();
  const kind = `${side}${shade}${edge(grid, index)}`;
  return html`<td class="${kind}" title="${title}">${deltaText(grid, index)}<small>${value}</small></td>`;
}

function stillCell(grid: GridDifference, index: number): Html {
  return html`<td class="still${edge(grid, index)}">·<small>${cellValue(grid, grid.is[index]!)}</small></td>`;
}

/** Marks a cell outside one of the tables, which holds its edge value there. */
function edge(grid: GridDifference, index: number): string {
  const { row, column } = placeInGrid(grid, index);
  const outside = ({ breakpoints, common: [low, high] }: GridAxis, i: number) =>
    breakpoints[i]! < low || breakpoints[i]! > high;
  const isOutside = outside(grid.x, column) || (grid.y !== undefined && outside(grid.y, row));
  return isOutside ? ' edge' : '';
}

const WIDTH = 560;
const HEIGHT = 200;
const MARGIN = { left: 56, right: 12, top: 12, bottom: 36 };

/** The old curve (dashed) and the new one, with both values at every breakpoint in a table below. */
export function curveDrawing(grid: GridDifference): Html {
  const { x, was, is } = grid;
  const across = scale(x.breakpoints, MARGIN.left, WIDTH - MARGIN.right);
  const up = scale([...was, ...is], HEIGHT - MARGIN.bottom, MARGIN.top);
  const line = (values: readonly number[]) =>
    values.map((value, i) => `${across(x.breakpoints[i]!)},${up(value)}`).join(' ');
  const dots = is.map((value, i) => {
    const kind = hasChanged(grid, i) ? 'moved' : 'still';
    return html`<circle class="${kind}" cx="${across(x.breakpoints[i]!)}" cy="${up(value)}" r="3"/>`;
  });
  const ends = [...new Set(extentOf([...was, ...is]))];
  const labels = ends.map(
    (end) =>
      html`<text x="${MARGIN.left - 6}" y="${up(end) + 4}" text-anchor="end">${cellValue(grid, end)}</text>`,
  );
  const ticks = x.breakpoints.map(
    (point, i) =>
      html`<text x="${across(point)}" y="${HEIGHT - 18}" text-anchor="middle">${breakpoint(x, i)}</text>`,
  );
  const title = `${grid.unit || 'value'} over ${axisTitle(x)}`;
  return html`<svg class="curve" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${title}">
<polyline class="was" points="${line(was)}"/><polyline class="is" points="${line(is)}"/>${dots}
${labels}${ticks}
<text x="${(WIDTH + MARGIN.left) / 2}" y="${HEIGHT - 2}" text-anchor="middle">
${title}; dashed: old</text>
</svg>
${curveTable(grid)}`;
}

function curveTable(grid: GridDifference): Html {
  const row = (title: string, cell: (i: number) => string) =>
    html`<tr><th scope="row">${title}</th>${grid.was.map((_, i) => html`<td>${cell(i)}</td>`)}</tr>\n`;
  return html`<div class="scroll"><table class="map">
${row(grid.x.unit || 'axis', (i) => breakpoint(grid.x, i))}${row('old', (i) => cellValue(grid, grid.was[i]!))}
${row('new', (i) => cellValue(grid, grid.is[i]!))}${row('difference', (i) => deltaText(grid, i))}</table></div>`;
}

/** Maps numbers to drawing coordinates, rounded to a tenth of a unit. */
function scale(numbers: readonly number[], from: number, to: number): (value: number) => number {
  const extent = extentOf(numbers);
  return (value) => Math.round((from + shareOf(value, extent) * (to - from)) * 10) / 10;
}
