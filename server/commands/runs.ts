import { readFileSync } from 'node:fs';
import { type Change, changeBetween, resultOf } from '../../shared/runs/result.ts';
import {
  binProblem,
  mergeProblem,
  mergeSums,
  type RunSums,
  readSums,
  writeSums,
} from '../../shared/runs/sums.ts';
import { reason } from '../files.ts';
import { runsFormats } from '../formats/registry.ts';
import type { NamedRun } from '../formats/runs-report.ts';
import { readRun } from '../runs/read-run.ts';
import { openRun } from '../runs/run-file.ts';
import { writeWhole } from '../whole-file.ts';
import { formatOf } from './call.ts';
import { type Command, type Status, UsageError } from './command.ts';

export const runs: Command = {
  options: {
    against: {
      value: 'RUN...',
      list: true,
      meaning: 'compare with these runs, measured before the change',
    },
    format: { choices: runsFormats.map(({ name }) => name), meaning: 'output format' },
    partial: {
      value: 'FILE',
      meaning: 'write the sums of the runs to this file instead, to be merged later',
    },
    merge: {
      meaning: 'the operands are files written with --partial; print the result of all of them together',
    },
  },
  description: `Reads measured runs (*.run.yaml), each with the data that it names, and compares them with the engine file that the
controller held: steady stretches, agreement with the derived values, the distance from each limit and when its light
would have lit, states outside the envelope, the measured volumetric efficiency with its uncertainty, and power and
consumption with 95 % intervals.

With \`--against\`, the runs are those after a change. All runs before it, and all after it, are taken together, and the difference
of power and consumption is printed with Welch's interval.

What runs say is a small sum: \`runs RUN --partial OUT.json\` writes it, and \`runs --merge OUT.json...\` gives the same result as one
run over all rows, in any order.

Exit status: 0 if the runs could be read, 2 otherwise.`,
  async run(call): Promise<Status> {
    const format = await formatOf(call, runsFormats);
    const isMerge = call.option('merge') !== undefined;
    const operands = call.operands;
    if (operands.length === 0)
      throw new UsageError(
        isMerge ? '`runs --merge` needs the files to merge.' : '`runs` needs a run file (*.run.yaml).',
      );
    const earlier = call.options('against');
    const partial = call.option('partial');
    if (partial !== undefined && earlier.length > 0)
      throw new UsageError('`--partial` and `--against` exclude each other.');
    const after = isMerge ? [mergedRun(operands)] : await namedRuns(operands);
    if (partial !== undefined) {
      const problem = writeWhole(partial, writeSums(together(after)));
      if (problem === undefined) return 0;
      throw new UsageError(problem);
    }
    const before = isMerge && earlier.length > 0 ? [mergedRun(earlier)] : await namedRuns(earlier);
    const change = before.length > 0 ? changeOf(together(before), together(after)) : undefined;
    call.terminal.out(format.write({ runs: after, against: before, change }, call.terminal));
    return 0;
  },
};

async function namedRuns(names: readonly string[]): Promise<NamedRun[]> {
  const found: NamedRun[] = [];
  // One after the other: each reads its data in a stream.
  for (const name of names) {
    const file = openRun(name);
    const { sums, course } = await readRun(file);
    found.push({ name, title: file.configuration.title?.text ?? name, result: resultOf(sums), course });
  }
  return found;
}

/** The sums of some runs of one engine. The runs themselves are not changed. */
function together(some: readonly NamedRun[]): RunSums {
  const [first, ...others] = some.map(({ result }) => copyOf(result.sums));
  for (const other of others) merge(first!, other);
  return first!;
}

const copyOf = (sums: RunSums): RunSums => readSums(writeSums(sums))!;

function merge(own: RunSums, other: RunSums): void {
  const problem = mergeProblem(own, other);
  if (problem !== undefined)
    throw new UsageError(`${own.files[0]} and ${other.files[0]} ${problem}, and cannot be taken together.`);
  mergeSums(own, other);
}

function changeOf(before: RunSums, after: RunSums): Change {
  const problem = binProblem(before, after);
  if (problem !== undefined)
    throw new UsageError(`${before.files[0]} and ${after.files[0]} ${problem}, and cannot be compared.`);
  return changeBetween(before, after);
}

function mergedRun(names: readonly string[]): NamedRun {
  const parts = names.map((name) => {
    const sums = readSums(textOf(name));
    if (!sums)
      throw new UsageError(`${name} was not written by \`enginewright runs --partial\` of this version.`);
    return sums;
  });
  // The order of the parts must not show.
  const [first, ...others] = parts.sort((a, b) => (a.files.join() < b.files.join() ? -1 : 1));
  for (const other of others) merge(first!, other);
  const name = first!.files.join(', ');
  return { name, title: `${first!.files.length} runs`, result: resultOf(first!) };
}

function textOf(name: string): string {
  try {
    return readFileSync(name, 'utf8');
  } catch (error) {
    throw new UsageError(`Cannot read ${name}: ${reason(error)}.`);
  }
}
