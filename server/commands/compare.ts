import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { Severity } from '../../shared/checks/check.ts';
import { type Comparison, compareAnalyses } from '../../shared/compare/comparison.ts';
import type { Consequence } from '../../shared/compare/consequence.ts';
import { type FindingConsequence, isNewFinding } from '../../shared/compare/findings.ts';
import { applyBaseline, type Baseline, baselineOrRefuse } from '../baseline.ts';
import type { NamedFile } from '../files.ts';
import {
  type ComparedFile,
  type ComparedState,
  type CompareReport,
  failsGate,
} from '../formats/compare-report.ts';
import { counted } from '../formats/layout.ts';
import { compareFormats } from '../formats/registry.ts';
import { pairFiles, type Side, sidesOf } from '../sides.ts';
import { formatOf } from './call.ts';
import { type Call, type Command, faultSentence, type Status } from './command.ts';

export const compare: Command = {
  options: {
    format: { choices: compareFormats.map(({ name }) => name), meaning: 'how to print what changed' },
    'fail-on': {
      choices: ['error', 'warning'],
      meaning: 'the least severity of a new finding that makes the exit status 1',
    },
    baseline: { value: 'FILE', meaning: 'let the new findings pass that this file lists' },
  },
  description: `Says what a change does to the engine: which values, maps, wires, signals and protections are
otherwise, which derived values moved and how near their limits they came, and which findings are new, gone or
accepted. Comments, layout and the unit of an equal value make no difference.

OLD and NEW are two files or two folders; each may be REV:PATH, as it was at a git revision. REV..REV compares two
revisions, REV...REV the second with where it parted from the first; paths behind it are compared alone. Nothing is
checked out. With a file, the controller file that it names is compared as well.

SARIF, JUnit XML and GitHub annotations tell the new findings and the limits that came closer, for automation. A
baseline is one that \`check --write-baseline\` has written.

Exit status: 0 where no new finding reaches the threshold, 1 where one does, 2 where something could not be read.`,
  async run(call): Promise<Status> {
    const format = await formatOf(call, compareFormats);
    const sides = sidesOf(call.operands);
    const baseline = baselineOf(call);
    const problems: string[] = [];
    const states = { old: reader(sides.old, problems), new: reader(sides.new, problems) };
    const pairs = pairFiles(sides.old, sides.new).map(({ was, is }) => ({
      was: was && states.old(was),
      is: is && states.new(is),
    }));
    const all = [...pairs, ...companions(pairs, sides, states)];
    const compared = problems.length > 0 ? [] : all.flatMap((pair) => comparedFile(pair, baseline, problems));
    const report: CompareReport = {
      old: sides.old.name,
      new: sides.new.name,
      files: compared.filter(
        ({ comparison }) => comparison.changes.length + comparison.consequences.length > 0,
      ),
      compared: all.length,
      threshold: call.option('fail-on') as Severity,
    };
    const known = compared.reduce((sum, one) => sum + (one.known?.length ?? 0), 0);
    if (baseline && known > 0) {
      call.terminal.err(`enginewright: ${baseline.name} lets ${counted(known, 'new finding')} pass.\n`);
    }
    if (problems.length === 0) call.terminal.out(format.write(report, call.terminal));
    for (const problem of problems) call.terminal.err(`enginewright: ${problem}\n`);
    return problems.length > 0 ? 2 : statusOf(report);
  },
};

type Pair = Pick<ComparedFile, 'was' | 'is'>;
type Reader = (file: NamedFile) => ComparedState | undefined;

/** Analyses files of one side; why one could not be is put among the problems. */
function reader({ project }: Side, problems: string[]): Reader {
  return (file) => {
    const analysis = analysed(() => analyse(project, file.path));
    if (typeof analysis !== 'string') return { name: file.name, analysis };
    problems.push(`${file.name} was not compared: ${analysis}`);
    return undefined;
  };
}

function analysed(read: () => Analysis | undefined): Analysis | string {
  try {
    return read() ?? 'it cannot be read.';
  } catch (error) {
    return faultSentence(error);
  }
}

/** The controller files that compared engine files name on both sides, where they are not compared already. */
function companions(
  pairs: readonly Pair[],
  sides: { old: Side; new: Side },
  read: { old: Reader; new: Reader },
): Pair[] {
  const known = new Set(pairs.map(pathsOf));
  return pairs.flatMap(({ was, is }) => {
    const [before, after] = [controllerOf(was, sides.old), controllerOf(is, sides.new)];
    if (!before || !after) return [];
    const paths = `${before.path}\n${after.path}`;
    if (known.has(paths)) return [];
    known.add(paths);
    return [{ was: read.old(before), is: read.new(after) }];
  });
}

const pathsOf = ({ was, is }: Pair): string => `${was?.analysis.file.path}\n${is?.analysis.file.path}`;

function controllerOf(state: ComparedState | undefined, side: Side): NamedFile | undefined {
  const file = state?.analysis.files.find(({ path }) => path.endsWith('.controller.yaml'));
  if (!file || !state || state.analysis.kind !== 'engine') return undefined;
  return { path: file.path, name: side.nameOf(file.path) };
}

function baselineOf(call: Call): Baseline | undefined {
  const name = call.option('baseline');
  return name === undefined ? undefined : baselineOrRefuse(name);
}

function comparedFile({ was, is }: Pair, baseline: Baseline | undefined, problems: string[]): ComparedFile[] {
  try {
    const comparison = compareAnalyses(was?.analysis, is?.analysis);
    return [{ was, is, ...(baseline ? withoutKnown(baseline, comparison, is) : { comparison }) }];
  } catch (error) {
    problems.push(`${(is ?? was)?.name} was not compared: ${faultSentence(error)}`);
    return [];
  }
}

/** Sets the new findings apart that the baseline lists. */
function withoutKnown(
  baseline: Baseline,
  { changes, consequences }: Comparison,
  is: ComparedState | undefined,
): Required<Pick<ComparedFile, 'comparison' | 'known'>> {
  const listed = new Set(is ? applyBaseline(baseline, [is]).files.flatMap(({ known }) => known ?? []) : []);
  const isKnown = (one: Consequence): one is FindingConsequence =>
    one.type === 'finding' && isNewFinding(one) && listed.has(one.finding);
  const others = consequences.filter((one) => !isKnown(one));
  return { comparison: { changes, consequences: others }, known: consequences.filter(isKnown) };
}

function statusOf(report: CompareReport): Status {
  const failing = report.files.some(({ comparison }) =>
    comparison.consequences.some((one) => one.type === 'finding' && failsGate(report, one)),
  );
  return failing ? 1 : 0;
}
