import * as vscode from 'vscode';
import type { Explanation, InstallationView, Place } from '../../server/features/installation-view-types.ts';
import { rangeFrom } from '../cell-commands.ts';
import { isEngineFile } from '../files.ts';
import type { LanguageServer } from '../language-server.ts';
import { panelBeside } from '../webview-page.ts';
import type { FromPanel, ToPanel } from './messages.ts';

/** The command that shows the installation beside its text. One panel follows whatever text is worked in. */
export function installationPanel(server: LanguageServer, extension: vscode.Uri): vscode.Disposable {
  let open: InstallationPanel | undefined;
  return vscode.Disposable.from(
    vscode.commands.registerCommand('enginewright.showInstallation', () => {
      open ??= new InstallationPanel(server, extension, () => {
        open = undefined;
      });
      open.reveal();
    }),
    { dispose: () => open?.dispose() },
  );
}

/** Long enough that a burst of keys is one question, short enough that nobody waits. */
const QUIET_MS = 120;

class InstallationPanel {
  readonly #server: LanguageServer;
  readonly #panel: vscode.WebviewPanel;
  readonly #subscriptions: vscode.Disposable[];
  #document: vscode.TextDocument | undefined;
  #canDraw = false;
  #asked = 0;
  #waiting: ReturnType<typeof setTimeout> | undefined;

  constructor(server: LanguageServer, extension: vscode.Uri, closed: () => void) {
    this.#server = server;
    this.#panel = panelBeside(extension, 'enginewright.installation', 'installation-panel', 'Installation');
    const { window, workspace } = vscode;
    this.#subscriptions = [
      this.#panel.webview.onDidReceiveMessage((message: FromPanel) => this.#hear(message)),
      this.#panel.onDidDispose(() => {
        this.#stop();
        closed();
      }),
      window.onDidChangeActiveTextEditor(() => this.#refresh()),
      workspace.onDidChangeTextDocument(({ document }) => {
        if (isEngineFile(document)) this.#refresh();
      }),
      workspace.onDidChangeConfiguration((change) => {
        if (change.affectsConfiguration('enginewright')) this.#refresh();
      }),
    ];
  }

  reveal(): void {
    this.#follow(vscode.window.activeTextEditor?.document);
    this.#panel.reveal(undefined, true);
    this.#refresh();
  }

  dispose(): void {
    this.#panel.dispose();
  }

  #stop(): void {
    clearTimeout(this.#waiting);
    this.#asked = -1;
    for (const one of this.#subscriptions) one.dispose();
  }

  #refresh(): void {
    clearTimeout(this.#waiting);
    if (!this.#canDraw) return;
    this.#waiting = setTimeout(() => void this.#show(), QUIET_MS);
  }

  async #show(): Promise<void> {
    this.#follow(vscode.window.activeTextEditor?.document);
    const mine = ++this.#asked;
    const view = await this.#question<InstallationView>('enginewright/installationView', {});
    if (mine !== this.#asked || view === undefined) return;
    if (view) this.#panel.title = view.title;
    this.#tell({ type: 'shown', view });
  }

  /** A controller file that is looked up from here belongs to the engine that is shown, and to others besides. */
  #follow(document: vscode.TextDocument | undefined): void {
    if (!document || !isEngineFile(document)) return;
    const isLookedUp = document.uri.path.endsWith('.controller.yaml') && this.#document?.isClosed === false;
    if (!isLookedUp) this.#document = document;
  }

  /** Undefined where the question was overtaken by a newer text, after which it is asked again. */
  async #question<Answer>(request: string, params: object): Promise<Answer | null | undefined> {
    if (!this.#document) return null;
    const textDocument = { uri: this.#document.uri.toString() };
    try {
      return await this.#server.ask<Answer | null>(request, { textDocument, ...params });
    } catch {
      return undefined;
    }
  }

  #tell(message: ToPanel): void {
    void this.#panel.webview.postMessage(message);
  }

  async #hear(message: FromPanel): Promise<void> {
    if (message.type === 'ready') {
      this.#canDraw = true;
      this.#refresh();
    } else if (message.type === 'go') await goTo(message.place);
    else {
      const { asked } = message;
      const explanation = await this.#question<Explanation>('enginewright/explanation', { asked });
      if (explanation !== undefined) this.#tell({ type: 'explained', asked, explanation });
    }
  }
}

/** Shows a place of a text beside the panel, in the editor that has it already where there is one. */
async function goTo({ uri, range }: Place): Promise<void> {
  const { window, workspace, Uri, ViewColumn } = vscode;
  const address = Uri.parse(uri);
  const there = window.visibleTextEditors.find(({ document }) => document.uri.toString() === uri);
  const beside = window.visibleTextEditors.find(({ document }) => isEngineFile(document));
  const viewColumn = (there ?? beside)?.viewColumn ?? ViewColumn.One;
  try {
    const document = await workspace.openTextDocument(address);
    await window.showTextDocument(document, { viewColumn, selection: rangeFrom(range) });
  } catch {
    void window.showErrorMessage(`${address.path} cannot be opened.`);
  }
}
