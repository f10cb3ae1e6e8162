import * as vscode from 'vscode';
import type { LanguageServer } from './language-server.ts';
import type { PanelState } from './panel-state.ts';

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
    protected readonly server: LanguageServer,
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
      server.onDidChangeState((state) => {
        this.#tellState();
        if (state === 'running') this.refresh();
      }),
      panel.webview.onDidReceiveMessage(({ type }: { readonly type: string }) => {
        if (type === 'ready') this.#tellState();
      }),
    ];
  }

  #tellState(): void {
    const { state } = this.server;
    const message: PanelState = { type: 'state', state: state === 'off' ? 'starting' : state };
    void this.panel.webview.postMessage(message);
  }

  /** Requests the data for the text and shows it, unless a newer request has been made since. */
  protected abstract ask(): Promise<void>;

  /** Disposes of these with the panel. */
  protected keep(...subscriptions: readonly vscode.Disposable[]): void {
    this.#subscriptions.push(...subscriptions);
  }

  reveal(): void {
    // Beside the text, should the panel stand in front of it.
    const isInFront = vscode.window.activeTextEditor?.viewColumn === this.panel.viewColumn;
    this.panel.reveal(isInFront ? vscode.ViewColumn.Beside : undefined, true);
    this.refresh();
  }

  refresh(): void {
    clearTimeout(this.#waiting);
    // A request fails if the text has changed since, which causes another, or if the server has stopped, which the panel says.
    this.#waiting = setTimeout(() => void this.ask().catch(() => {}), this.quiet);
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
