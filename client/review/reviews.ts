import * as vscode from 'vscode';
import type { CommittedFile, Review } from '../../server/protocol.ts';
import { type CommittedTexts, whyNot } from '../committed.ts';
import { isEngineFile } from '../files.ts';
import type { LanguageServer } from '../language-server.ts';

/** What a document does to the engine since its last commit, or why that cannot be told. */
export type Outcome = { readonly review: Review } | { readonly why: string };

const UNTOLD = "The language server could not tell what changed; Enginewright's output channel says why.";

/** The codes of an answer that was withdrawn, or would have been about a text that is another one now. */
const OVERTAKEN: ReadonlySet<unknown> = new Set([-32800, -32801, -32802]);

interface Kept {
  readonly version: number;
  /** How often anything had changed beside the document when it was asked. */
  readonly epoch: number;
  readonly outcome: Promise<Outcome | undefined>;
}

/** The reviews of the documents, each asked for once a version. */
export class Reviews implements vscode.Disposable {
  readonly #server: LanguageServer;
  readonly #committed: CommittedTexts;
  readonly #kept = new Map<string, Kept>();
  readonly #changed = new vscode.EventEmitter<void>();
  /** A document, a file that one takes part with, or the commit is another now. */
  readonly onDidChange = this.#changed.event;
  readonly #subscriptions: vscode.Disposable;
  #epoch = 0;

  constructor(server: LanguageServer, committed: CommittedTexts) {
    this.#server = server;
    this.#committed = committed;
    const anew = (): void => this.#anew();
    this.#subscriptions = vscode.Disposable.from(
      this.#changed,
      server.onDidChange(anew),
      committed.onDidChange(anew),
      vscode.workspace.onDidChangeTextDocument(({ document, contentChanges }) => {
        if (contentChanges.length > 0 && isEngineFile(document)) anew();
      }),
      vscode.workspace.onDidCloseTextDocument(({ uri }) => this.#kept.delete(uri.toString())),
    );
  }

  /** Whether something is known about a document, of whatever version. */
  has({ uri }: vscode.TextDocument): boolean {
    return this.#kept.has(uri.toString());
  }

  /** Undefined where something changed while it was looked at: there will be another answer. */
  of(document: vscode.TextDocument): Promise<Outcome | undefined> {
    const { version, uri } = document;
    const key = uri.toString();
    const kept = this.#kept.get(key);
    if (kept?.version === version && kept.epoch === this.#epoch) return kept.outcome;
    const outcome: Promise<Outcome | undefined> = this.#ask(document).catch((error: unknown) => {
      if (!OVERTAKEN.has((error as { code?: unknown } | undefined)?.code)) return { why: UNTOLD };
      // Where nobody has asked anew since, somebody must.
      if (this.#kept.get(key)?.outcome === outcome) this.#anew();
      return undefined;
    });
    this.#kept.set(key, { version, epoch: this.#epoch, outcome });
    return outcome;
  }

  #anew(): void {
    this.#epoch++;
    this.#changed.fire();
  }

  dispose(): void {
    this.#subscriptions.dispose();
  }

  /** Gives the server the committed texts that it names, until it has them all. */
  async #ask(document: vscode.TextDocument): Promise<Outcome> {
    const uri = document.uri.toString();
    const own = await this.#committed.of(document.uri);
    if (own.state !== 'committed') return { why: whyNot(own, document)! };
    const committed: CommittedFile[] = [{ uri, ...own }];
    for (;;) {
      const params = { textDocument: { uri }, committed };
      const answer = await this.#server.ask('enginewright/review', params);
      if (answer?.review) return { review: answer.review };
      if (!answer || answer.missing.length === 0) return { why: UNTOLD };
      committed.push(...(await Promise.all(answer.missing.map((one) => this.#fetched(one)))));
    }
  }

  async #fetched(uri: string): Promise<CommittedFile> {
    const found = await this.#committed.of(vscode.Uri.parse(uri));
    return found.state === 'unknown' ? { uri, state: 'unversioned' } : { uri, ...found };
  }
}
