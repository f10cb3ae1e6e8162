import uPlot from 'uplot';
import type { RunCurve } from '../../../server/features/run-view-types.ts';
import { html } from '../../map-panel/view/element.ts';
import { colour, withAlpha } from './colours.ts';

/** A quantity over speed with the band of its 95 % intervals. */
export function curvePlot({ speed, mean, low, high }: RunCurve, width: number): HTMLElement {
  const parent = html('div');
  const ink = colour('--vscode-descriptionForeground');
  const grid = { stroke: withAlpha(ink, 0.2), width: 1 };
  const line = colour('--vscode-charts-blue');
  const axis = { stroke: ink, grid, ticks: grid };
  const none = { stroke: 'transparent', points: { show: false } };
  new uPlot(
    {
      width: Math.max(300, Math.min(width, 640)),
      height: 180,
      legend: { show: false },
      scales: { x: { time: false } },
      series: [{}, none, none, { stroke: line, width: 2 }],
      bands: [{ series: [2, 1], fill: withAlpha(line, 0.25) }],
      axes: [
        { ...axis, size: 24 },
        { ...axis, size: 56 },
      ],
    },
    [[...speed], [...low], [...high], [...mean]],
    parent,
  );
  return parent;
}
