import { formatQuantity } from '../../shared/quantity/index.ts';
import { DETERMINED, ENOUGH_ROWS, SMALL_SHARE } from '../../shared/runs/filling.ts';
import {
  agreementGrid,
  BEYOND_CHANCE,
  differenceGrid,
  fillingGrid,
  type Grid,
  lightLines,
  limitGrid,
  outsideLines,
  powerGrid,
  refusedLines,
  summary,
  unloggedLimits,
  verdict,
} from '../run-words.ts';
import type { NamedRun, RunsReport } from './runs-report.ts';

/** A part of the report of a run: a heading with paragraphs, lists and tables. Text and Markdown print the same parts. */
export interface Part {
  readonly title: string;
  readonly lines?: readonly string[];
  readonly grid?: Grid;
  readonly note?: string;
}

/** The parts of a run that say something. */
export function partsOf({ result }: NamedRun): Part[] {
  const { sums, agreement, maps, power } = result;
  const unlogged = unloggedLimits(sums);
  const parts: Part[] = [
    { title: 'Result', lines: [verdict(result), summary(sums)] },
    { title: 'Assumptions', lines: sums.notes },
    { title: 'Refused lines', lines: refusedLines(sums) },
    { title: 'Agreement in steady stretches', grid: agreementGrid(agreement) },
    {
      title: 'Limits',
      grid: limitGrid(sums),
      ...(unlogged.length > 0 && { note: `Not logged: ${unlogged.join(', ')}.` }),
    },
    { title: 'Lights that differ', lines: lightLines(sums) },
    { title: 'Outside the envelope', lines: outsideLines(sums) },
    { title: 'Volumetric efficiency', grid: fillingGrid(maps), note: FILLING_NOTE },
    { title: 'Power at full throttle', grid: powerGrid(power), note: POWER_NOTE },
  ];
  return parts.filter(({ lines, grid }) => (lines?.length ?? 0) > 0 || (grid?.rows.length ?? 0) > 0);
}

const share = (ratio: number): string => formatQuantity(ratio, '%');
const FILLING_NOTE = `Rows and columns count from 0. The uncertainty is one standard uncertainty of noise and instruments together. A cell is believed with at least ${ENOUGH_ROWS} effective rows, a standard uncertainty of noise below ${share(DETERMINED)} of the cell, and an uncertainty below ${share(SMALL_SHARE)} of the change.`;
const POWER_NOTE = 'Means with 95 % intervals; errors of the instruments come on top.';

export function changeParts({ change }: RunsReport): Part[] {
  if (!change) return [];
  return [
    {
      title: 'Change',
      lines: [change.sentence],
      ...(change.bins.length > 0 && { grid: differenceGrid(change.bins), note: BEYOND_CHANCE }),
    },
  ];
}
