import { type GridAxis, type GridDifference, placeInGrid } from '../../shared/compare/grid.ts';
import { stepUnit } from '../../shared/compare/step.ts';
import { cellText } from '../../shared/compare/words.ts';
import { measuredQuantity } from '../../shared/quantity/index.ts';
import { breakpoint, cellValue, deltaText } from './compare-grid.ts';
import { html } from './html.ts';

/** Shades of a delta map on either side of nothing moved. */
const SHADES = 4;

/** A map of deltas: each cell with how far it moved over its new value, shaded by direction and size. */
export function mapDrawing(grid: GridDifference): string {
  const { x, y, moved } = grid;
  if (!y || moved.length === 0) return '';
  const most = Math.max(...moved.map((i) => Math.abs(grid.is[i]! - grid.was[i]!)));
  const head = x.breakpoints.map((_, column) => `<th scope="col">${breakpoint(x, column)}</th>`).join('');
  const rows = y.breakpoints.map((_, row) => {
    const cells = x.breakpoints.map((_, column) => mapCell(grid, row * x.breakpoints.length + column, most));
    return `<tr><th scope="row">${breakpoint(y, row)}</th>${cells.join('')}</tr>`;
  });
  const caption = `${axisTitle(y)} down, ${axisTitle(x)} across; each cell: step in ${stepUnit(grid.unit) || 'plain numbers'}, new value below`;
  return `<div class="scroll"><table class="map">
<caption>${html(caption)}</caption>
<thead><tr><th></th>${head}</tr></thead>
<tbody>
${rows.join('\n')}
</tbody>
</table></div>`;
}

function mapCell(grid: GridDifference, index: number, most: number): string {
  const value = cellValue(grid, grid.is[index]!);
  const beyond = isBeyond(grid, index) ? ' beyond-common' : '';
  if (!grid.moved.includes(index)) return `<td class="still${beyond}">·<small>${value}</small></td>`;
  const step = grid.is[index]! - grid.was[index]!;
  const shade = Math.max(1, Math.ceil((Math.abs(step) / most) * SHADES));
  const title = `${cellText(grid, index)}: ${cellValue(grid, grid.was[index]!)} → ${value} ${grid.unit}`;
  const side = step > 0 ? 'up' : 'down';
  return `<td class="${side}${shade}${beyond}" title="${html(title)}">${deltaText(grid, index)}<small>${value}</small></td>`;
}

/** Where one of the tables does not reach and holds its edge value. */
function isBeyond(grid: GridDifference, index: number): boolean {
  const { row, column } = placeInGrid(grid, index);
  const outside = ({ breakpoints, common: [low, high] }: GridAxis, i: number) =>
    breakpoints[i]! < low || breakpoints[i]! > high;
  return outside(grid.x, column) || (grid.y !== undefined && outside(grid.y, row));
}

const WIDTH = 560;
const HEIGHT = 200;
const MARGIN = { left: 56, right: 12, top: 12, bottom: 36 };

/** A curve drawn as it was, dashed, and as it is, with both values at every breakpoint in a table below. */
export function curveDrawing(grid: GridDifference): string {
  const { x, was, is } = grid;
  const scaleX = scale(x.breakpoints, MARGIN.left, WIDTH - MARGIN.right);
  const scaleY = scale([...was, ...is], HEIGHT - MARGIN.bottom, MARGIN.top);
  const line = (values: readonly number[]) =>
    values.map((value, i) => `${scaleX(x.breakpoints[i]!)},${scaleY(value)}`).join(' ');
  const dots = is.map((value, i) => {
    const still = grid.moved.includes(i) ? '' : ' class="still"';
    return `<circle cx="${scaleX(x.breakpoints[i]!)}" cy="${scaleY(value)}" r="3"${still}/>`;
  });
  const [low, high] = [Math.min(...was, ...is), Math.max(...was, ...is)];
  const label = (at: number) =>
    `<text x="${MARGIN.left - 6}" y="${scaleY(at) + 4}" text-anchor="end">${html(cellValue(grid, at))}</text>`;
  const ticks = x.breakpoints.map(
    (point, i) =>
      `<text x="${scaleX(point)}" y="${HEIGHT - 18}" text-anchor="middle">${breakpoint(x, i)}</text>`,
  );
  const title = `${html(grid.unit)} over ${html(axisTitle(x))}`;
  return `<svg class="curve" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${title}">
<polyline class="was" points="${line(was)}"/><polyline class="is" points="${line(is)}"/>${dots.join('')}
${label(low)}${high > low ? label(high) : ''}${ticks.join('')}
<text x="${(WIDTH + MARGIN.left) / 2}" y="${HEIGHT - 2}" text-anchor="middle">${title}; dashed: as it was</text>
</svg>
${curveTable(grid)}`;
}

function curveTable(grid: GridDifference): string {
  const row = (title: string, cell: (i: number) => string) =>
    `<tr><th scope="row">${title}</th>${grid.was.map((_, i) => `<td>${cell(i)}</td>`).join('')}</tr>`;
  const rows = [
    row(html(grid.x.unit) || 'axis', (i) => breakpoint(grid.x, i)),
    row('old', (i) => cellValue(grid, grid.was[i]!)),
    row('new', (i) => cellValue(grid, grid.is[i]!)),
    row('step', (i) => deltaText(grid, i)),
  ];
  return `<div class="scroll"><table class="map">\n${rows.join('\n')}\n</table></div>`;
}

/** A place on the paper for each number, rounded to a tenth of a unit. */
function scale(numbers: readonly number[], from: number, to: number): (value: number) => number {
  const [low, high] = [Math.min(...numbers), Math.max(...numbers)];
  return (value) => {
    const share = high === low ? 0.5 : (value - low) / (high - low);
    return Math.round((from + share * (to - from)) * 10) / 10;
  };
}

function axisTitle({ quantity, unit }: GridAxis): string {
  const name = measuredQuantity(quantity)?.entry.label ?? quantity;
  return unit === '' ? name : `${name} in ${unit}`;
}
