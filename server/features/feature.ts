import type { CancellationToken, Connection, ServerCapabilities } from 'vscode-languageserver/node';
import type { Analysis } from '../../shared/analysis.ts';
import type { Editor } from '../editor.ts';
import type { AboutDocument, Answer, OwnMethod, Params } from '../protocol.ts';
import type { Workspace } from '../workspace.ts';

/** What a request gets; null where there is nothing to say. */
export type Handler<Params, Result> = (params: Params, token: CancellationToken) => Promise<Result | null>;

/** Turns pure functions into handlers of requests, which are never answered with a failure. */
export interface Answering {
  /** From the analysis of the document that the request is about. */
  from<Params extends AboutDocument, Result>(
    answer: (analysis: Analysis, params: Params, editor: Editor, workspace: Workspace) => Result | null,
  ): Handler<Params, Result>;
  /** From the request alone; `otherwise` where that fails. */
  alone<Params, Result>(
    answer: (params: Params, editor: Editor, workspace: Workspace) => Result,
    otherwise: Result,
  ): (params: Params) => Result;
  /**
   * From every file of the workspace, one after the other: other messages are handled in between, and a question that is
   * withdrawn gets no further. Where there is much to read, the editor shows how far it has come.
   */
  fileByFile<Params, Part>(
    answer: (path: string, params: Params, editor: Editor, workspace: Workspace) => readonly Part[],
  ): (params: Params, token: CancellationToken) => Promise<Part[]>;
}

/** Something that an editor can ask about a document. */
export interface Feature {
  readonly capabilities: ServerCapabilities;
  listen(connection: Connection, answering: Answering): void;
}

/** Answers a request that the protocol does not know. */
export function answerOwn<Method extends OwnMethod>(
  connection: Connection,
  method: Method,
  answer: (params: Params<Method>, token: CancellationToken) => Answer<Method> | Promise<Answer<Method>>,
): void {
  connection.onRequest<unknown, void>(method, answer);
}
