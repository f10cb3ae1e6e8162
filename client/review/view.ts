import * as vscode from 'vscode';
import type { ReviewItem } from '../../server/protocol.ts';
import { rangeFrom } from '../cell-commands.ts';
import { isEngineFile } from '../files.ts';
import { COMMITTED } from '../map-panel/messages.ts';
import { oldValues } from './old-values.ts';
import type { Reviews } from './reviews.ts';
import { ReviewTree } from './tree.ts';

/** How the working text changes the engine since the last commit: a tree view, and committed values in the text. */
export function reviewView(reviews: Reviews): vscode.Disposable {
  return vscode.Disposable.from(
    new ReviewView(reviews),
    oldValues(reviews),
    vscode.commands.registerCommand('enginewright.showChangedMap', showChangedMap),
  );
}

/** Long enough to combine a burst of keys, too short to be noticed. */
const QUIET_MS = 200;

class ReviewView implements vscode.Disposable {
  readonly #reviews: Reviews;
  readonly #tree = new ReviewTree();
  readonly #view = vscode.window.createTreeView('enginewright.review', { treeDataProvider: this.#tree });
  readonly #subscriptions: vscode.Disposable;
  #document: vscode.TextDocument | undefined;
  #waiting: ReturnType<typeof setTimeout> | undefined;

  constructor(reviews: Reviews) {
    this.#reviews = reviews;
    const { window, workspace } = vscode;
    this.#subscriptions = vscode.Disposable.from(
      this.#view,
      reviews.onDidChange(() => this.#later()),
      window.onDidChangeActiveTextEditor(() => this.#follow()),
      workspace.onDidCloseTextDocument((document) => {
        if (document === this.#document) this.#follow();
      }),
      this.#view.onDidChangeVisibility(() => this.#later()),
    );
    this.#follow();
  }

  dispose(): void {
    clearTimeout(this.#waiting);
    this.#subscriptions.dispose();
  }

  /** Follows the active engine file; keeps the last one while the user is elsewhere, such as in the map panel. */
  #follow(): void {
    const active = vscode.window.activeTextEditor?.document;
    const isOpen = this.#document?.isClosed === false;
    const document = active && isEngineFile(active) ? active : isOpen ? this.#document : undefined;
    if (document === this.#document) return;
    this.#document = document;
    void vscode.commands.executeCommand('setContext', 'enginewright.isReviewing', document !== undefined);
    void this.#show();
  }

  #later(): void {
    clearTimeout(this.#waiting);
    this.#waiting = setTimeout(() => void this.#show(), QUIET_MS);
  }

  async #show(): Promise<void> {
    const document = this.#document;
    const name = document?.fileName.replace(/^.*[\\/]/, '') ?? '';
    const baseline = document && this.#reviews.baselineOf(document);
    this.#view.description = baseline === undefined ? name : `${name}, compared with ${baseline}`;
    if (!document || !this.#view.visible) return;
    const outcome = await this.#reviews.of(document);
    if (!outcome || document !== this.#document) return;
    const review = 'review' in outcome ? outcome.review : undefined;
    this.#tree.show(review?.items ?? []);
    const isSame = review?.items.length === 0;
    this.#view.message = 'why' in outcome ? outcome.why : isSame ? review.text : '';
  }
}

/** Shows the difference of a map from its committed version. */
async function showChangedMap({ place }: ReviewItem): Promise<void> {
  if (!place) return;
  const { start } = rangeFrom(place.range);
  const selection = new vscode.Range(start, start);
  await vscode.window.showTextDocument(vscode.Uri.parse(place.uri), { selection });
  await vscode.commands.executeCommand('enginewright.compareMap', COMMITTED);
}
