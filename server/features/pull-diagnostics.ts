import {
  type DocumentDiagnosticParams,
  type DocumentDiagnosticReport,
  DocumentDiagnosticReportKind,
  type FullDocumentDiagnosticReport,
  type PreviousResultId,
  type UnchangedDocumentDiagnosticReport,
  type WorkspaceDiagnosticParams,
  type WorkspaceDocumentDiagnosticReport,
} from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { memo } from '../../shared/memo.ts';
import type { Editor } from '../editor.ts';
import type { Settings } from '../settings.ts';
import type { Workspace } from '../workspace.ts';
import { diagnosticsOf } from './diagnostics.ts';
import type { Feature, PrepareDocument } from './feature.ts';

export const pullDiagnostics: Feature = {
  capabilities: {
    diagnosticProvider: {
      identifier: 'enginewright',
      interFileDependencies: true,
      workspaceDiagnostics: true,
    },
  },
  listen: (connection, { from, fileByFile }) => {
    const told = new Set<string>();
    const reportOf = from<DocumentDiagnosticParams, DocumentDiagnosticReport>(
      documentReport,
      completedDocument,
    );
    connection.languages.diagnostics.on(async (params, token) => {
      told.add(params.textDocument.uri);
      return (await reportOf(params, token)) ?? NOTHING;
    });
    const reportsOf = fileByFile(workspaceReport, completed);
    connection.languages.diagnostics.onWorkspace(async (params, token) => {
      const items = await reportsOf(params, token);
      for (const { uri } of [...items, ...params.previousResultIds]) told.add(uri);
      const lost = gone(told, items);
      for (const { uri } of lost) told.delete(uri);
      return { items: [...items, ...lost] };
    });
  },
};

/**
 * Empty reports for files that no longer exist. They are tracked here because an editor does not always list them in its
 * request: after a document is closed, its findings stay until the next workspace report.
 */
function gone(
  told: ReadonlySet<string>,
  items: readonly WorkspaceDocumentDiagnosticReport[],
): WorkspaceDocumentDiagnosticReport[] {
  const here = new Set(items.map(({ uri }) => uri));
  return [...told].filter((uri) => !here.has(uri)).map((uri) => ({ ...NOTHING, uri, version: null }));
}

/** The report for a document that is not an engine or controller file. */
const NOTHING: FullDocumentDiagnosticReport = { kind: DocumentDiagnosticReportKind.Full, items: [] };

/** The findings of a document, or a note that they have not changed. */
export function documentReport(
  analysis: Analysis,
  { previousResultId }: Pick<DocumentDiagnosticParams, 'previousResultId'>,
  editor: Editor,
  workspace: Workspace,
): DocumentDiagnosticReport {
  const known = resultIdOf(analysis.file.path, editor, workspace);
  return known !== undefined && known === previousResultId
    ? unchanged(known)
    : fullReport(analysis, editor, workspace);
}

/**
 * The report for any file of the workspace, open or not. A deleted file has none, even while the editor keeps its
 * document: VS Code keeps a document opened by an extension for minutes after its tab is closed.
 */
export function workspaceReport(
  path: string,
  { previousResultIds }: Pick<WorkspaceDiagnosticParams, 'previousResultIds'>,
  editor: Editor,
  workspace: Workspace,
): WorkspaceDocumentDiagnosticReport[] {
  if (workspace.isGone(path)) return [];
  const uri = editor.uriOf(path);
  const known = resultIdOf(path, editor, workspace);
  // An unchanged file is not analysed again for this, even if its analysis has been evicted.
  if (known !== undefined && known === idsByUri(previousResultIds).get(uri)) {
    return [{ ...unchanged(known), uri, version: null }];
  }
  const analysis = workspace.analysisOf(path);
  if (!analysis) return [];
  return [{ ...fullReport(analysis, editor, workspace), uri, version: null }];
}

/** Completes the findings of a document, unless the editor requests them again when they are complete. */
const completedDocument: PrepareDocument<DocumentDiagnosticParams> = async (
  { textDocument: { uri } },
  { refreshesDiagnostics },
  { proofs },
  isStopped,
) => {
  if (!refreshesDiagnostics) await proofs.completeFindings(uri, isStopped);
};

/** Completes the findings of a file, unless the editor has them already. */
async function completed(
  path: string,
  { previousResultIds }: Pick<WorkspaceDiagnosticParams, 'previousResultIds'>,
  editor: Editor,
  workspace: Workspace,
  isStopped: () => boolean,
): Promise<void> {
  const known = resultIdOf(path, editor, workspace);
  const isReported = known !== undefined && known === idsByUri(previousResultIds).get(editor.uriOf(path));
  const isKnown = isReported && workspace.isComplete(path);
  // The findings of an open document are completed when nobody types.
  const isAskedAgain = editor.refreshesDiagnostics && workspace.openDocument(path) !== undefined;
  if (!isKnown && !isAskedAgain) await workspace.proofs.complete(path, isStopped);
}

const idsByUri = memo(
  (ids: readonly PreviousResultId[]) => new Map(ids.map(({ uri, value }) => [uri, value])),
);

const unchanged = (resultId: string): UnchangedDocumentDiagnosticReport => ({
  kind: DocumentDiagnosticReportKind.Unchanged,
  resultId,
});

function fullReport(analysis: Analysis, editor: Editor, workspace: Workspace): FullDocumentDiagnosticReport {
  const resultId = resultIdOf(analysis.file.path, editor, workspace);
  const items = diagnosticsOf(analysis, editor, workspace.findingsOf(analysis));
  return { kind: DocumentDiagnosticReportKind.Full, items, ...(resultId !== undefined && { resultId }) };
}

/** Identifies the version of the file and the settings; each change of the settings makes a new object. */
function resultIdOf(path: string, { settings }: Editor, workspace: Workspace): string | undefined {
  const version = workspace.versionOf(path);
  return version === undefined ? undefined : `${version}/${numberOf(settings)}`;
}

const numbers = new WeakMap<Settings, number>();
let lastNumber = 0;

function numberOf(settings: Settings): number {
  const number = numbers.get(settings) ?? ++lastNumber;
  numbers.set(settings, number);
  return number;
}
