import * as vscode from 'vscode';
import type { CommittedFile, Review } from '../../server/protocol.ts';
import { type CommittedTexts, whyNot } from '../committed.ts';
import { isEngineFile } from '../files.ts';
import type { LanguageServer } from '../language-server.ts';

/** How a document changes the engine since the last commit, or why that is unknown. */
export type Outcome = { readonly review: Review } | { readonly why: string };

const FAILED = 'The language server could not compute the review. See the Enginewright output channel.';

/** The error codes of a request that was cancelled or whose text has changed. */
const OVERTAKEN: ReadonlySet<unknown> = new Set([-32800, -32801, -32802]);

/** Texts to compare a document with instead of the committed ones. */
export interface Baseline {
  /** What the texts are those of: `image.hex`. */
  readonly name: string;
  readonly texts: readonly { readonly uri: string; readonly text: string }[];
}

interface Kept {
  readonly version: number;
  /** The epoch at the time of the request. */
  readonly epoch: number;
  readonly outcome: Promise<Outcome | undefined>;
}

/** The reviews of the documents, each requested once per version. */
export class Reviews implements vscode.Disposable {
  readonly #server: LanguageServer;
  readonly #committed: CommittedTexts;
  readonly #kept = new Map<string, Kept>();
  readonly #baselines = new Map<string, Baseline>();
  readonly #changed = new vscode.EventEmitter<void>();
  /** A document, a file that it uses, or the commit has changed. */
  readonly onDidChange = this.#changed.event;
  readonly #subscriptions: vscode.Disposable;
  /** Increases whenever a document, another file or the commit changes. */
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
      vscode.workspace.onDidCloseTextDocument(({ uri }) => {
        this.#kept.delete(uri.toString());
        this.#baselines.delete(uri.toString());
      }),
    );
  }

  /** Whether a review of any version of a document is known or requested. */
  has({ uri }: vscode.TextDocument): boolean {
    return this.#kept.has(uri.toString());
  }

  /** Undefined if something changed during the request; another answer follows. */
  of(document: vscode.TextDocument): Promise<Outcome | undefined> {
    const { version, uri } = document;
    const key = uri.toString();
    const kept = this.#kept.get(key);
    if (kept?.version === version && kept.epoch === this.#epoch) return kept.outcome;
    const outcome: Promise<Outcome | undefined> = this.#ask(document).catch((error: unknown) => {
      if (!OVERTAKEN.has((error as { code?: unknown } | undefined)?.code)) return { why: FAILED };
      // Unless it was requested again since, announce a change so that it is.
      if (this.#kept.get(key)?.outcome === outcome) this.#anew();
      return undefined;
    });
    this.#kept.set(key, { version, epoch: this.#epoch, outcome });
    return outcome;
  }

  /** Compares a document with these texts until it is closed; without them, with its commit again. */
  compareWith({ uri }: vscode.TextDocument, baseline: Baseline | undefined): void {
    if (baseline) this.#baselines.set(uri.toString(), baseline);
    else this.#baselines.delete(uri.toString());
    this.#anew();
  }

  /** What a document is compared with; undefined for the last commit. */
  baselineOf({ uri }: vscode.TextDocument): string | undefined {
    return this.#baselines.get(uri.toString())?.name ?? this.#committed.revision?.name;
  }

  #anew(): void {
    this.#epoch++;
    this.#changed.fire();
  }

  dispose(): void {
    this.#subscriptions.dispose();
  }

  /** Sends the server the committed texts that it requests, until it has all of them. */
  async #ask(document: vscode.TextDocument): Promise<Outcome> {
    const uri = document.uri.toString();
    const baseline = this.#baselines.get(uri);
    const committed: CommittedFile[] = [];
    if (baseline) {
      committed.push(...baseline.texts.map((one) => ({ ...one, state: 'committed' as const })));
    } else {
      const own = await this.#committed.of(document.uri);
      if (own.state !== 'committed') return { why: whyNot(own, document)! };
      committed.push({ uri, ...own });
    }
    for (;;) {
      const params = { textDocument: { uri }, committed };
      const answer = await this.#server.ask('enginewright/review', params);
      if (answer?.review) return { review: answer.review };
      if (!answer || answer.missing.length === 0) return { why: FAILED };
      const missing = baseline
        ? answer.missing.map((one) => ({ uri: one, state: 'unversioned' as const }))
        : await Promise.all(answer.missing.map((one) => this.#fetched(one)));
      committed.push(...missing);
    }
  }

  async #fetched(uri: string): Promise<CommittedFile> {
    const found = await this.#committed.of(vscode.Uri.parse(uri));
    return found.state === 'unknown' ? { uri, state: 'unversioned' } : { uri, ...found };
  }
}
