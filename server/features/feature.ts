import type { CancellationToken, Connection, ServerCapabilities } from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import type { Editor } from '../editor.ts';
import type { AboutDocument, Answer, CustomMethod, Params } from '../protocol.ts';
import type { Workspace } from '../workspace.ts';

/** Handles a request; the result is null if there is nothing to show. */
export type Handler<Params, Result> = (params: Params, token: CancellationToken) => Promise<Result | null>;

/** Prepares the answer about a file; stops if nobody waits for it any more. */
export type Prepare<Params> = (
  path: string,
  params: Params,
  editor: Editor,
  workspace: Workspace,
  isStopped: () => boolean,
) => Promise<unknown>;

/** Prepares the answer about the document of a request. */
export type PrepareDocument<Params> = (
  params: Params,
  editor: Editor,
  workspace: Workspace,
  isStopped: () => boolean,
) => Promise<unknown>;

/** Turns pure functions into request handlers that never fail. */
export interface Answering {
  /**
   * Answers from the analysis of the document of the request. `prepare` is called first and may be slow; if the text
   * changes before the answer, the request fails.
   */
  from<Params extends AboutDocument, Result>(
    answer: (analysis: Analysis, params: Params, editor: Editor, workspace: Workspace) => Result | null,
    prepare?: PrepareDocument<Params>,
  ): Handler<Params, Result>;
  /** Answers from the request alone; with `otherwise` if that fails. */
  alone<Params, Result>(
    answer: (params: Params, editor: Editor, workspace: Workspace) => Result,
    otherwise: Result,
  ): (params: Params) => Result;
  /** Completes findings and bounds of the document of a request. Returns whether they are those of the current text. */
  settled(params: AboutDocument, token: CancellationToken): Promise<boolean>;
  /**
   * Answers from every file of the workspace, one after the other. Other messages are handled in between, a cancelled
   * request stops, and the editor shows progress if there is much to read. `prepare` is called for each file first and
   * may be slow.
   */
  fileByFile<Params, Part>(
    answer: (path: string, params: Params, editor: Editor, workspace: Workspace) => readonly Part[],
    prepare?: Prepare<Params>,
  ): (params: Params, token: CancellationToken) => Promise<Part[]>;
}

/** A language feature that an editor can request. */
export interface Feature {
  readonly capabilities: ServerCapabilities;
  listen(connection: Connection, answering: Answering): void;
}

/** Answers a request of our own that is not in the protocol. */
export function answerCustom<Method extends CustomMethod>(
  connection: Connection,
  method: Method,
  answer: (params: Params<Method>, token: CancellationToken) => Answer<Method> | Promise<Answer<Method>>,
): void {
  connection.onRequest<unknown, void>(method, answer);
}
