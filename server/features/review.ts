import { type Analysis, analyseBriefly, isSearched, searched } from '../../shared/analysis.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { changesBetween, compareAnalyses } from '../../shared/compare/comparison.ts';
import { canChangeFaults } from '../../shared/compare/faults.ts';
import { tallyOf, verdictOf, verdictText } from '../../shared/compare/verdict.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { faultTableInSteps } from '../../shared/faults/table.ts';
import { memo } from '../../shared/memo.ts';
import { finished } from '../../shared/proof/search.ts';
import type { Editor } from '../editor.ts';
import type { CommittedFile, Review, ReviewAnswer, ReviewParams } from '../protocol.ts';
import { inSlices } from '../turns.ts';
import { pathOfUri } from '../uri.ts';
import type { OpenDocument, Workspace } from '../workspace.ts';
import { answerCustom, type Feature } from './feature.ts';
import { oldValues } from './review-hints.ts';
import { reviewItems } from './review-tree.ts';

export const reviews: Feature = {
  capabilities: {},
  listen: (connection, { from }) => {
    const states = new CommittedStates();
    answerCustom(
      connection,
      'enginewright/review',
      from(
        (analysis, params: ReviewParams, editor, workspace) =>
          reviewOf(analysis, params, editor, workspace, states),
        (params, _, workspace, isStopped) => computeFaults(params, workspace, states, isStopped),
      ),
    );
  },
};

/** Computes the fault tables that a review compares, so that it does not keep the editor waiting. */
async function computeFaults(
  { textDocument: { uri }, committed }: ReviewParams,
  workspace: Workspace,
  states: CommittedStates,
  isStopped: () => boolean,
): Promise<void> {
  const is = workspace.analysis(uri);
  if (!is?.derivation || !isSearched(is)) return;
  const was = states.stateOf(is.file.path, committed, workspace).analysis;
  if (!was?.derivation || !canChangeFaults(was, is, changesBetween(was, is))) return;
  for (const { subject } of [completed(was), is])
    await inSlices(faultTableInSteps(subject as EngineSubject), () => !isStopped());
}

/** Compares the working text with the committed text, each with the other files of its installation. */
export function reviewOf(
  is: Analysis,
  { committed }: ReviewParams,
  editor: Editor,
  workspace: Workspace,
  states = new CommittedStates(),
): ReviewAnswer {
  const was = states.stateOf(is.file.path, committed, workspace);
  const reads = [...new Set([...is.files.map(({ path }) => path), ...was.reads])];
  const given = new Set(committed.map(({ uri }) => pathOfUri(uri)));
  const missing = reads.filter((path) => !given.has(path)).map((path) => workspace.uriOf(path));
  if (missing.length > 0 || !was.analysis) return { missing, review: null };
  // Until the checks that search bounds have run on the working text, their findings are left out on both sides,
  // and so are faults.
  const before = isSearched(is) ? completed(was.analysis) : was.analysis;
  const comparison = compareAnalyses(before, is, undefined, isSearched(is));
  const tally = tallyOf(comparison);
  const review: Review = {
    verdict: verdictOf(tally),
    text: verdictText(tally),
    items: reviewItems(is, comparison, editor),
    oldValues: oldValues(is, comparison.changes),
    files: reads.map((path) => workspace.uriOf(path)),
  };
  return { missing, review };
}

const completed = memo((analysis: Analysis) => finished(searched(analysis)));

interface CommittedState {
  readonly committed: readonly CommittedFile[];
  readonly analysis: Analysis | undefined;
  /** Every path that was read. */
  readonly reads: ReadonlySet<string>;
}

/** Committed states do not change while the user types, so each is analysed once and kept while its document is open. */
export class CommittedStates {
  #last = new WeakMap<OpenDocument, CommittedState>();

  stateOf(path: string, committed: readonly CommittedFile[], workspace: Workspace): CommittedState {
    const document = workspace.openDocument(path);
    const last = document && this.#last.get(document);
    if (last && sameFiles(last.committed, committed)) return last;
    const state = analysed(path, committed, workspace);
    // An unversioned file is read from the working text, which the next keystroke may change.
    const isFixed = !committed.some((one) => one.state === 'unversioned');
    this.#last = new WeakMap(document && isFixed ? [[document, state]] : []);
    return state;
  }
}

function analysed(path: string, committed: readonly CommittedFile[], workspace: Workspace): CommittedState {
  const reads = new Set<string>();
  const byPath = new Map(committed.map((one) => [pathOfUri(one.uri), one]));
  const project = createProject((asked) => {
    reads.add(asked);
    const file = byPath.get(asked);
    if (file?.state === 'committed') return file.text;
    return file?.state === 'unversioned' ? workspace.file(asked, path)?.text : undefined;
  });
  const analysis = analyseBriefly(project, path);
  return { committed, analysis, reads };
}

function sameFiles(a: readonly CommittedFile[], b: readonly CommittedFile[]): boolean {
  const textOf = (file: CommittedFile) => (file.state === 'committed' ? file.text : undefined);
  return (
    a.length === b.length &&
    a.every((one, i) => {
      const other = b[i]!;
      return one.uri === other.uri && one.state === other.state && textOf(one) === textOf(other);
    })
  );
}
