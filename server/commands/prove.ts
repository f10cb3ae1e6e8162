import type { EngineSubject } from '../../shared/checks/check.ts';
import { fileKind } from '../../shared/configuration/project.ts';
import { fullProofOf, judgements } from '../../shared/limits/verdict.ts';
import type { ProofOptions } from '../../shared/proof/end-search.ts';
import { USUAL } from '../../shared/proof/proof.ts';
import { isFault, parseQuantity } from '../../shared/quantity/index.ts';
import { findFiles } from '../files.ts';
import type { ProvedFile, ProveReport } from '../formats/prove-report.ts';
import { proveFormats } from '../formats/registry.ts';
import { deadline, formatOf, secondsOf } from './call.ts';
import { type Call, type Command, type Status, UsageError } from './command.ts';
import { engineAnalysis } from './engine-file.ts';

/** The verdicts that make the exit status 1, by the threshold. */
const FAILING: Readonly<Record<string, readonly string[]>> = { broken: ['broken'], open: ['broken', 'open'] };

export const prove: Command = {
  options: {
    format: { choices: proveFormats.map(({ name }) => name), meaning: 'output format' },
    'fail-on': {
      choices: Object.keys(FAILING),
      meaning: 'exit with 1 if a limit has this verdict or a worse one',
    },
    within: {
      value: 'PERCENT',
      meaning: 'largest distance between a bound and the value of its witness (default: 0.5 %)',
    },
    time: {
      value: 'SECONDS',
      meaning: 'time limit for each file; bounds not settled by then stay open (default: 10 s)',
    },
  },
  description: `Proves bounds for every value derived at operating points, over all states of the envelope: every speed, manifold
pressure, altitude, temperature and supply voltage at which the engine may operate, in each map set, without a fault and
with each single fault. No state lies beyond a bound. Each bound has a witness: a state whose value comes within the
requested distance of the bound.

A limit holds if the bound is within it, is broken if the witness is beyond it, and is open if the search cannot tell.

Exit status: 0 if no limit is broken, 1 if one is, 2 if a file could not be read.`,
  async run(call): Promise<Status> {
    if (call.operands.length === 0) throw new UsageError('`prove` needs at least one engine file.');
    const format = await formatOf(call, proveFormats);
    const options = proofOptions(call, call.option('within'));
    const found = findFiles(call.operands);
    const engines = found.files.filter(({ path }) => fileKind(path) === 'engine');
    // An empty result would read as if every limit held.
    if (engines.length === 0 && found.problems.length === 0)
      throw new UsageError(
        '`prove` needs an engine file (*.engine.yaml); the named files and folders contain none.',
      );
    const files = engines.map(({ name }): ProvedFile => {
      const subject = engineAnalysis(name, 'prove').subject as EngineSubject;
      const start = performance.now();
      const proof = fullProofOf(subject, options());
      const bounds = [...proof.bounds()].flatMap((bound) => judgements(bound, subject));
      const seconds = (performance.now() - start) / 1000;
      return { name, envelope: proof.envelope, bounds, seconds };
    });
    call.terminal.out(format.write({ files } satisfies ProveReport, call.terminal));
    for (const problem of found.problems) call.terminal.err(`enginewright: ${problem}\n`);
    if (found.problems.length > 0) return 2;
    const failing = FAILING[call.option('fail-on')!]!;
    return files.some((file) => hasVerdict(file, failing)) ? 1 : 0;
  },
};

const hasVerdict = ({ bounds }: ProvedFile, failing: readonly string[]): boolean =>
  bounds.some(({ verdict }) => verdict !== undefined && failing.includes(verdict));

/** Bounds are searched to a slightly closer tolerance than requested, so that the witness still meets the request after rounding for print. */
const SPARE = 0.6;

/** The options of the search, anew for each file, so that each has its own time. */
export function proofOptions(call: Call, share = '0.5 %'): () => ProofOptions {
  const within = shareOf(share, '--within');
  const seconds = secondsOf(call, '10 s');
  if (seconds === 0)
    throw new UsageError(`\`--time\` cannot be \`${call.option('time')}\`; use seconds, such as \`10 s\`.`);
  return () => {
    const hasTime = deadline(seconds);
    return { ...USUAL, within: within * SPARE, isOver: () => !hasTime() };
  };
}

function shareOf(text: string, option: string): number {
  const read = parseQuantity(text);
  const isShare = !isFault(read) && read.unit?.dimension === 'ratio';
  if (isShare && read.canonical > 0 && read.canonical < 1) return read.canonical;
  throw new UsageError(`\`${option}\` cannot be \`${text}\`; use a percentage, such as \`0.5 %\`.`);
}
