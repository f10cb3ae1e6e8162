import * as vscode from 'vscode';

/** A panel beside a text that it follows: once a burst of changes is over it asks about the text anew. */
export abstract class FollowingPanel implements vscode.Disposable {
  /** The text that the panel is about. */
  protected document: vscode.TextDocument | undefined;
  readonly #subscriptions: vscode.Disposable[];
  #asked = 0;
  #waiting: ReturnType<typeof setTimeout> | undefined;

  /** `quiet`: after so many ms without a change a burst is over. `closed` is called when the user has closed the panel. */
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

  /** Asks about the text, and shows the answer unless there has been another question since. */
  protected abstract ask(): Promise<void>;

  /** Ends with the panel. */
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

  /** Begins a question; tells later whether it is still the last one. */
  protected begin(): () => boolean {
    const mine = ++this.#asked;
    return () => mine === this.#asked;
  }

  dispose(): void {
    this.panel.dispose();
  }
}

/** A panel of which there is one, made when it is wanted. */
export class OnePanel<Panel extends FollowingPanel> implements vscode.Disposable {
  #open: Panel | undefined;

  constructor(readonly make: (closed: () => void) => Panel) {}

  /** The panel, brought before the user. */
  shown(): Panel {
    this.#open ??= this.make(() => {
      this.#open = undefined;
    });
    this.#open.reveal();
    return this.#open;
  }

  dispose(): void {
    this.#open?.dispose();
  }
}
