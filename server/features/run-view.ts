import type { Location } from 'vscode-languageserver';
import { runStore } from '#host';
import type { Analysis } from '../../shared/analysis.ts';
import { nodeAtPath } from '../../shared/source/tree.ts';
import { UsageError } from '../commands/command.ts';
import type { Editor } from '../editor.ts';
import { locationOf } from '../places.ts';
import { plainText } from '../plain-text.ts';
import type { AboutDocument, Params } from '../protocol.ts';
import { CURVES, curveOf, departuresOf, drawnColumnOf, inUnitOf } from '../run-drawn.ts';
import {
  agreementGrid,
  fillingGrid,
  type Grid,
  limitGrid,
  outsideLines,
  powerGrid,
  refusedLines,
  summary,
  verdict,
} from '../run-words.ts';
import type { StoredRun } from '../runs/run-store.ts';
import { answerCustom, type Feature } from './feature.ts';
import type { RunColumn, RunSteps, RunTable, RunView } from './run-view-types.ts';

export const runViews: Feature = {
  capabilities: {},
  listen: (connection, { from }) => {
    const view = from((analysis, _: AboutDocument, editor) => runViewOf(analysis, editor));
    const steps = from((analysis, params: Params<'enginewright/runSteps'>) => runStepsOf(analysis, params));
    answerCustom(connection, 'enginewright/runView', async (params, token) => await view(params, token));
    answerCustom(connection, 'enginewright/runSteps', async (params, token) => await steps(params, token));
  },
};

/** What a run says; null for any other document. */
export async function runViewOf({ kind, file }: Analysis, editor: Editor): Promise<RunView | null> {
  if (kind !== 'run') return null;
  try {
    return viewOf(await runStore.get(file.path), editor);
  } catch (error) {
    if (!(error instanceof UsageError)) throw error;
    const nothing = { sentences: [], notes: [], columns: [], curves: [], maps: [], tables: [] };
    return { ...nothing, title: 'Run', problem: plainText(error.message), span: [0, 0] };
  }
}

/** The rows of a run between two times; null if it cannot be read. */
export async function runStepsOf(
  { kind, file }: Analysis,
  { from, to, most }: { readonly from: number; readonly to: number; readonly most: number },
): Promise<RunSteps | null> {
  if (kind !== 'run') return null;
  try {
    const { rows, course } = await runStore.get(file.path);
    const { times, lows, highs } = rows.steps(from, to, Math.min(Math.max(most, 2), MOST_STEPS));
    const shown = (lists: readonly (readonly number[])[]) =>
      lists.map((list, i) => {
        const inUnit = inUnitOf(course.columns[i]!.unit);
        // JSON has no NaN.
        return list.map((value) => (Number.isNaN(value) ? null : inUnit(value)));
      });
    return { times, lows: shown(lows), highs: shown(highs) };
  } catch (error) {
    if (error instanceof UsageError) return null;
    throw error;
  }
}

/** More steps than a screen has pixels show nothing more. */
const MOST_STEPS = 8000;

function viewOf({ run, result, course, rows }: StoredRun, editor: Editor): RunView {
  const { sums } = result;
  const placeOf = placesIn(run.engine, editor);
  const lists = [
    ...refusedLines(sums).map((text) => ['Refused', text]),
    ...outsideLines(sums).map((text) => ['Outside the envelope', text]),
  ];
  const tables = [
    tableOf(
      'Agreement in steady stretches',
      agreementGrid(result.agreement),
      result.agreement.map(({ at }) => placeOf(at)),
    ),
    tableOf(
      'Limits',
      limitGrid(sums),
      sums.limits.filter(({ closest }) => closest).map(({ at }) => placeOf(at)),
    ),
    tableOf('Power at full throttle', powerGrid(result.power)),
    tableOf('Volumetric efficiency', fillingGrid(result.maps)),
    tableOf('Rows', { head: ['What', 'Where'], rows: lists }),
  ];
  return {
    title: run.configuration.title?.text ?? run.name,
    problem: null,
    sentences: [verdict(result), summary(sums)],
    notes: sums.notes.map(plainText),
    span: rows.span,
    columns: course.columns.map((column): RunColumn => {
      const { levels, ...drawn } = drawnColumnOf(sums, column);
      return {
        ...drawn,
        levels: levels.map(({ at, value }) => ({ label: at, value, place: placeOf(at) })),
      };
    }),
    curves: CURVES.map((curve) => curveOf(result, curve)).filter(({ speed }) => speed.length > 0),
    maps: departuresOf(result),
    tables: tables.filter((table) => table.rows.length > 0),
  };
}

const tableOf = (
  title: string,
  { head, rows }: Grid,
  places: readonly (Location | null)[] = [],
): RunTable => ({
  ...{ title, head, rows },
  places: rows.map((_, i) => places[i] ?? null),
});

/** Finds the place of a key path in an engine file or its base files. */
const placesIn =
  ({ files }: StoredRun['run']['engine'], editor: Editor) =>
  (at: string): Location | null => {
    for (const file of files) {
      const node = nodeAtPath(file.root, at.split('.'));
      if (node) return locationOf(file, node, editor);
    }
    return null;
  };
