import {
  type Diagnostic,
  type DocumentDiagnosticParams,
  type DocumentDiagnosticReport,
  DocumentDiagnosticReportKind,
  type FullDocumentDiagnosticReport,
  type WorkspaceDiagnosticParams,
  type WorkspaceDocumentDiagnosticReport,
} from 'vscode-languageserver/node';
import type { Analysis } from '../../shared/analysis.ts';
import type { Editor } from '../editor.ts';
import type { Workspace } from '../workspace.ts';
import { diagnosticsOf } from './diagnostics.ts';
import type { Feature } from './feature.ts';

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
    const reportOf = from<DocumentDiagnosticParams, DocumentDiagnosticReport>(documentReport);
    connection.languages.diagnostics.on(async (params, token) => {
      told.add(params.textDocument.uri);
      return (await reportOf(params, token)) ?? NOTHING;
    });
    const reportsOf = fileByFile(workspaceReport);
    connection.languages.diagnostics.onWorkspace(async (params, token) => {
      const items = await reportsOf(params, token);
      for (const { uri } of [...items, ...params.previousResultIds]) told.add(uri);
      return { items: [...items, ...gone(told, items)] };
    });
  },
};

/**
 * Of files that are there no more, nothing is left to find. Which those are, an editor does not always say: one that
 * has just closed a document keeps its findings for the next report on the workspace, without naming it in its question.
 */
function gone(
  told: ReadonlySet<string>,
  items: readonly WorkspaceDocumentDiagnosticReport[],
): WorkspaceDocumentDiagnosticReport[] {
  const here = new Set(items.map(({ uri }) => uri));
  return [...told].filter((uri) => !here.has(uri)).map((uri) => ({ ...NOTHING, uri, version: null }));
}

/** Of a document that is none of ours. */
const NOTHING: FullDocumentDiagnosticReport = { kind: DocumentDiagnosticReportKind.Full, items: [] };

/** The findings of a document, or that they are those that the editor has. */
export function documentReport(
  analysis: Analysis,
  { previousResultId }: Pick<DocumentDiagnosticParams, 'previousResultId'>,
  editor: Editor,
): DocumentDiagnosticReport {
  return reportOf(analysis, previousResultId, editor);
}

/**
 * The same for any file of the workspace, open or not. A deleted one has none there, even while an editor keeps its
 * document: VS Code holds one that an extension opened for minutes after its tab is closed.
 */
export function workspaceReport(
  path: string,
  { previousResultIds }: Pick<WorkspaceDiagnosticParams, 'previousResultIds'>,
  editor: Editor,
  workspace: Workspace,
): WorkspaceDocumentDiagnosticReport[] {
  const analysis = workspace.isGone(path) ? undefined : workspace.analysisOf(path);
  if (!analysis) return [];
  const uri = editor.uriOf(path);
  const previous = previousResultIds.find((one) => one.uri === uri)?.value;
  return [{ ...reportOf(analysis, previous, editor), uri, version: null }];
}

type Report =
  | { kind: typeof DocumentDiagnosticReportKind.Full; resultId: string; items: Diagnostic[] }
  | { kind: typeof DocumentDiagnosticReportKind.Unchanged; resultId: string };

function reportOf(analysis: Analysis, previous: string | undefined, editor: Editor): Report {
  const resultId = `${identity(analysis)}/${identity(editor.settings)}`;
  if (resultId === previous) return { kind: DocumentDiagnosticReportKind.Unchanged, resultId };
  return { kind: DocumentDiagnosticReportKind.Full, resultId, items: diagnosticsOf(analysis, editor) };
}

/** An analysis is made anew when anything that it read changes, so that it is its own version. */
const identities = new WeakMap<object, number>();
let last = 0;

function identity(thing: object): number {
  let found = identities.get(thing);
  if (found === undefined) {
    last += 1;
    found = last;
    identities.set(thing, found);
  }
  return found;
}
