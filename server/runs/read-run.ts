import { accessSync, constants, statSync } from 'node:fs';
import { type Column, columnsOf, problemsOfNames } from '../../shared/runs/columns.ts';
import { RunFold } from '../../shared/runs/fold.ts';
import { enginesOf } from '../../shared/runs/setup.ts';
import type { RunSums } from '../../shared/runs/sums.ts';
import type { Timeline } from '../../shared/runs/timeline.ts';
import { UsageError } from '../commands/command.ts';
import { reason } from '../files.ts';
import { CsvError, type CsvRows, readCsv } from './csv.ts';
import type { RunFile } from './run-file.ts';
import type { RunRows } from './run-rows.ts';

/** The course of a run over time, and the columns that it has. */
export interface Course {
  readonly timeline: Timeline;
  readonly columns: readonly Column[];
}

/** Only such files are read: a run file can name any path, and messages quote what they read. */
const DATA = /\.(?:csv|tsv|txt)$/i;

/** Reads the data of a run and sums up what they say; `rows` keeps what is drawn. Throws a `UsageError` if they cannot be read. */
export async function readRun(
  run: RunFile,
  rows?: RunRows,
): Promise<{ readonly sums: RunSums; readonly course: Course }> {
  refuseUnreadable(run);
  let fold: RunFold | undefined;
  try {
    await readCsv(run.data, {
      begin(names, units) {
        const made = foldOf(run, names, units, rows);
        fold = made.fold;
        rows?.begin(fold.timeline.places);
        return made.rows;
      },
    });
  } catch (error) {
    if (error instanceof UsageError) throw error;
    const why = error instanceof CsvError ? error.message : `Cannot read ${run.data}: ${reason(error)}.`;
    throw new UsageError(`${run.name}: ${why}`);
  }
  const { timeline, options } = fold!;
  const columns = timeline.places.map((place) => options.columns.all[place]!);
  return { sums: fold!.finish(), course: { timeline, columns } };
}

function refuseUnreadable({ name, data }: RunFile): void {
  if (!DATA.test(data))
    throw new UsageError(`${name}: the data must be a *.csv, *.tsv or *.txt file, not ${data}.`);
  try {
    if (!statSync(data).isFile()) throw new UsageError(`${name}: ${data} is not a regular file.`);
    accessSync(data, constants.R_OK);
  } catch (error) {
    if (error instanceof UsageError) throw error;
    throw new UsageError(`${name}: Cannot read ${data}: ${reason(error)}.`);
  }
}

/** The fold for data with these first two lines, and how their rows reach it and, if they are used, `kept`. */
export function foldOf(
  { name, configuration, engine }: RunFile,
  names: readonly string[],
  units: readonly string[],
  kept?: RunRows,
): { readonly fold: RunFold; readonly rows: CsvRows } {
  const named = new Map(
    Object.entries(configuration.columns ?? {}).map(([quantity, { text }]) => [quantity, text]),
  );
  const [problem] = problemsOfNames(names, named);
  if (problem !== undefined) throw new UsageError(`${name}: ${problem}`);
  const columns = columnsOf(names, units, named);
  if (columns.place('time') < 0)
    throw new UsageError(
      `${name}: the data have no column \`time\` with a unit of time${columns.all.length === 1 ? '; are the columns separated by commas, semicolons or tabs?' : '.'}`,
    );
  const mapSet = configuration.map_set?.text;
  const engines = enginesOf(engine.installation, mapSet);
  if (engines.length === 0) {
    const known = engine.installation.selectable.flatMap((one) => one.mapSet ?? []);
    const which = known.length > 0 ? `; it has ${known.map((one) => `\`${one}\``).join(', ')}` : '';
    throw new UsageError(`${name}: the engine file has no map set \`${mapSet}\`${which}.`);
  }
  const decimals = new Uint8Array(names.length);
  const { all } = columns;
  const fold = new RunFold({
    run: configuration,
    path: name,
    installation: engine.installation,
    points: engine.derivation.points,
    engines,
    columns,
    // A column without a decimal, such as a speed in whole revolutions, shows steps of one.
    resolution: (column) => 10 ** -decimals[column]! * all[column]!.factor,
  });
  const rows: CsvRows = {
    columns,
    length: fold.places.length,
    decimals,
    row(row, line, index) {
      if (fold.row(row, line, index)) kept?.add(row, row[fold.places.time]!);
    },
    refuse: (line, why) => fold.refuse(line, why),
    named: (text) =>
      mapSetNamed(
        text,
        engines.map((one) => one.mapSet),
      ),
  };
  return { fold, rows };
}

/** The engine of a name, or of a number that counts the map sets from 0. */
function mapSetNamed(text: string, names: readonly (string | undefined)[]): number | undefined {
  const found = names.indexOf(text);
  if (found >= 0) return found;
  const sets = names.flatMap((name, i) => (name === undefined ? [] : [i]));
  return /^\d+$/.test(text) ? sets[Number(text)] : undefined;
}
