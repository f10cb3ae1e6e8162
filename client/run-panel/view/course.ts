import uPlot from 'uplot';
import type { RunColumn, RunSteps, RunView } from '../../../server/features/run-view-types.ts';
import { colour, withAlpha } from './colours.ts';

const HEIGHT = 110;

/**
 * The run over time, one plot for each column, all with the same time and cursor. The plots hold no more steps than pixels; a zoom
 * requests those of the range that it shows.
 */
export class Course {
  readonly #plots: uPlot[];
  readonly #width: number;
  #isShowing = false;

  constructor(
    readonly view: RunView,
    parent: HTMLElement,
    readonly request: (from: number, to: number, most: number) => void,
  ) {
    this.#width = Math.max(300, parent.clientWidth);
    const sync = uPlot.sync('run');
    this.#plots = view.columns.map(
      (column) => new uPlot(this.#options(column, sync.key), [[], [], []], parent),
    );
    this.#ask(...view.span);
  }

  show({ times, lows, highs }: RunSteps): void {
    this.#isShowing = true;
    for (const [i, plot] of this.#plots.entries())
      plot.setData([times as number[], lows[i] as number[], highs[i] as number[]], false);
    const [from, to] = this.#range ?? this.view.span;
    for (const plot of this.#plots) plot.setScale('x', { min: from, max: to });
    this.#isShowing = false;
  }

  dispose(): void {
    for (const plot of this.#plots) plot.destroy();
  }

  #range: readonly [number, number] | undefined;

  #ask(from: number, to: number): void {
    this.#range = [from, to];
    this.request(from, to, Math.round(this.#width * devicePixelRatio));
  }

  #options({ name, unit, levels, lit }: RunColumn, sync: string): uPlot.Options {
    const ink = colour('--vscode-descriptionForeground');
    const grid = withAlpha(ink, 0.2);
    const line = colour('--vscode-charts-blue');
    const axis = { stroke: ink, grid: { stroke: grid, width: 1 }, ticks: { stroke: grid, width: 1 } };
    return {
      title: unit === '' ? name : `${name}, ${unit}`,
      width: this.#width,
      height: HEIGHT,
      legend: { show: false },
      cursor: { sync: { key: sync }, drag: { x: true, y: false } },
      scales: { x: { time: false } },
      series: [
        {},
        { stroke: line, width: 1, points: { show: false } },
        { stroke: line, width: 1, points: { show: false } },
      ],
      bands: [{ series: [2, 1], fill: withAlpha(line, 0.3) }],
      axes: [
        { ...axis, size: 24 },
        { ...axis, size: 56 },
      ],
      hooks: {
        drawClear: [(plot) => drawSpans(plot, lit)],
        draw: [(plot) => drawLevels(plot, levels)],
        setSelect: [
          (plot) => {
            const [from, to] = [
              plot.posToVal(plot.select.left, 'x'),
              plot.posToVal(plot.select.left + plot.select.width, 'x'),
            ];
            if (!this.#isShowing && to > from) this.#ask(from, to);
          },
        ],
        ready: [(plot) => plot.over.addEventListener('dblclick', () => this.#ask(...this.view.span))],
      },
    };
  }
}

/** Shades when a limit acted. */
function drawSpans(plot: uPlot, spans: RunColumn['lit']): void {
  const { ctx, bbox } = plot;
  ctx.save();
  ctx.fillStyle = withAlpha(colour('--vscode-editorWarning-foreground'), 0.25);
  for (const [from, to] of spans) {
    const [left, right] = [plot.valToPos(from, 'x', true), plot.valToPos(to, 'x', true)];
    const [start, end] = [Math.max(left, bbox.left), Math.min(right, bbox.left + bbox.width)];
    if (end > start) ctx.fillRect(start, bbox.top, Math.max(1, end - start), bbox.height);
  }
  ctx.restore();
}

/** The levels of limits that are within the plot. */
function drawLevels(plot: uPlot, levels: RunColumn['levels']): void {
  const { ctx, bbox } = plot;
  ctx.save();
  ctx.strokeStyle = colour('--vscode-editorError-foreground');
  ctx.setLineDash([4, 3]);
  for (const { value } of levels) {
    const y = plot.valToPos(value, 'y', true);
    if (!(y >= bbox.top && y <= bbox.top + bbox.height)) continue;
    ctx.beginPath();
    ctx.moveTo(bbox.left, y);
    ctx.lineTo(bbox.left + bbox.width, y);
    ctx.stroke();
  }
  ctx.restore();
}
