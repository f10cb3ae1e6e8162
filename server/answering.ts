import {
  type CancellationToken,
  type Connection,
  LSPErrorCodes,
  ResponseError,
  type TextDocuments,
} from 'vscode-languageserver';
import type { Document } from './document.ts';
import type { Editor } from './editor.ts';
import type { Answering } from './features/feature.ts';
import { nextTurn } from './turns.ts';
import type { Workspace } from './workspace.ts';

interface Surroundings {
  readonly connection: Connection;
  readonly documents: TextDocuments<Document>;
  readonly workspace: Workspace;
  /** The editor with its current settings. */
  editor(): Editor;
}

/** Does some work; if it fails, logs the error and returns `otherwise`. Errors meant for the user are rethrown. */
export function logged<Result>(connection: Connection, work: () => Result, otherwise: Result): Result {
  try {
    return work();
  } catch (error) {
    // For example, why a name cannot be changed.
    if (error instanceof ResponseError) throw error;
    connection.console.error(error instanceof Error ? (error.stack ?? error.message) : String(error));
    return otherwise;
  }
}

/** The ways of answering requests from the workspace. */
export function answeringFrom({ connection, documents, workspace, editor }: Surroundings): Answering {
  return {
    from: (answer, prepare) => async (params, token) => {
      const { uri } = params.textDocument;
      const asked = documents.get(uri)?.version;
      await nextMessage();
      const isCurrent = () => asked === documents.get(uri)?.version;
      await prepare?.(params, editor(), workspace, () => token.isCancellationRequested || !isCurrent());
      stopIfStale(token, isCurrent());
      const work = () => {
        const analysis = workspace.analysis(uri);
        return analysis ? answer(analysis, params, editor(), workspace) : null;
      };
      return logged(connection, work, null);
    },
    alone: (answer, otherwise) => (params) =>
      logged(connection, () => answer(params, editor(), workspace), otherwise),
    settled: ({ textDocument: { uri } }, token) =>
      workspace.proofs.settle(uri, () => token.isCancellationRequested),
    fileByFile: (answer, prepare) => async (params, token) => {
      const paths = logged(connection, () => workspace.paths(), []);
      const isLong = paths.filter((path) => !workspace.isKnown(path)).length > FEW_FILES;
      const progress = isLong ? await connection.window.createWorkDoneProgress() : undefined;
      progress?.begin('Enginewright: reading the workspace', 0, undefined, false);
      const parts = [];
      try {
        for (const [index, path] of paths.entries()) {
          await nextMessage();
          stopIfStale(token, true);
          progress?.report((100 * index) / paths.length, readableName(path));
          await prepare?.(path, params, editor(), workspace, () => token.isCancellationRequested);
          stopIfStale(token, true);
          const found = logged(connection, () => answer(path, params, editor(), workspace), []);
          for (const part of found) parts.push(part);
        }
      } finally {
        progress?.done();
      }
      return parts;
    },
  };
}

/** Reading this many files needs no progress notification. */
const FEW_FILES = 10;

const readableName = (path: string): string => path.slice(path.lastIndexOf('/') + 1);

/** Lets the next message take effect first: it may be a newer text, or the cancellation of this request. */
async function nextMessage(): Promise<void> {
  // In the first turn the connection resumes its queue; by the second the message has been handled.
  for (let turn = 0; turn < 2; turn++) await nextTurn();
}

function stopIfStale(token: CancellationToken, isCurrent: boolean): void {
  if (token.isCancellationRequested)
    throw new ResponseError(LSPErrorCodes.RequestCancelled, 'The request was cancelled.');
  if (!isCurrent)
    throw new ResponseError(LSPErrorCodes.ContentModified, 'The text has changed since the request.');
}
