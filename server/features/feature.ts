import type { CancellationToken, Connection, ServerCapabilities } from 'vscode-languageserver/node';
import type { Analysis } from '../../shared/analysis.ts';
import type { Editor } from '../editor.ts';

/** What a request gets; null where there is nothing to say. */
export type Handler<Params, Result> = (params: Params, token: CancellationToken) => Promise<Result | null>;

interface AboutDocument {
  readonly textDocument: { readonly uri: string };
}

/** Turns pure functions into handlers of requests, which are never answered with a failure. */
export interface Answering {
  /** From the analysis of the document that the request is about. */
  from<Params extends AboutDocument, Result>(
    answer: (analysis: Analysis, params: Params, editor: Editor) => Result | null,
  ): Handler<Params, Result>;
  /** From the request alone; `otherwise` where that fails. */
  alone<Params, Result>(answer: (params: Params) => Result, otherwise: Result): (params: Params) => Result;
}

/** Something that an editor can ask about a document. */
export interface Feature {
  readonly capabilities: ServerCapabilities;
  listen(connection: Connection, answering: Answering): void;
}
