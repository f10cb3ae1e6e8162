import * as vscode from 'vscode';

/** A panel that follows a text: after a burst of changes it requests its data again. */
export abstract class FollowingPanel implements vscode.Disposable {
  /** The text that the panel is about. */
  protected document: vscode.TextDocument | undefined;
  readonly #subscriptions: vscode.Disposable[];
  #asked = 0;
  #waiting: ReturnType<typeof setTimeout> | undefined;

  /** `quiet` ms without a change end a burst. `closed` is called when the user closes the panel. */
  constructor(
    protected readonly panel: vscode.WebviewPanel,
    readonly quiet: number,
    closed: () => void,
  ) {
    this.#subscriptions = [
      panel.onDidDispose(() => {
        clearTimeout(this.#waiting);
        this.#asked = -1;
        for (const one of this.#subscriptions) one.dispose();
        closed();
      }),
      vscode.window.onDidChangeActiveTextEditor(() => this.refresh()),
    ];
  }

  /** Requests the data for the text and shows it, unless a newer request has been made since. */
  protected abstract ask(): Promise<void>;

  /** Disposes of these with the panel. */
  protected keep(...subscriptions: readonly vscode.Disposable[]): void {
    this.#subscriptions.push(...subscriptions);
  }

  reveal(): void {
    this.panel.reveal(undefined, true);
    this.refresh();
  }

  refresh(): void {
    clearTimeout(this.#waiting);
    this.#waiting = setTimeout(() => void this.ask(), this.quiet);
  }

  /** Begins a request; the returned function tests whether it is still the latest one. */
  protected begin(): () => boolean {
    const mine = ++this.#asked;
    return () => mine === this.#asked;
  }

  dispose(): void {
    this.panel.dispose();
  }
}

/** A single panel, created on demand. */
export class OnePanel<Panel extends FollowingPanel> implements vscode.Disposable {
  #open: Panel | undefined;

  constructor(readonly make: (closed: () => void) => Panel) {}

  /** The panel, revealed. */
  shown(): Panel {
    this.#open ??= this.make(() => {
      this.#open = undefined;
    });
    this.#open.reveal();
    return this.#open;
  }

  /** The panel if it is open. */
  get open(): Panel | undefined {
    return this.#open;
  }

  dispose(): void {
    this.#open?.dispose();
  }
}
