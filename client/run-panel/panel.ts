import * as vscode from 'vscode';
import { isRunFile } from '../files.ts';
import { FollowingPanel, OnePanel } from '../following-panel.ts';
import type { LanguageServer } from '../language-server.ts';
import { panelBeside } from '../webview-page.ts';
import type { FromPanel, Place, ToPanel } from './messages.ts';

/** The command that shows a measured run to the side. One panel follows the active run file. */
export function runPanel(server: LanguageServer, extension: vscode.Uri): vscode.Disposable {
  const panel = new OnePanel((closed) => new RunPanel(server, extension, closed));
  return vscode.Disposable.from(
    vscode.commands.registerCommand('enginewright.showRun', () => void panel.shown()),
    panel,
  );
}

const QUIET_MS = 100;

class RunPanel extends FollowingPanel {
  constructor(server: LanguageServer, extension: vscode.Uri, closed: () => void) {
    super(panelBeside(extension, 'enginewright.run', 'run-panel', 'Run'), server, QUIET_MS, closed);
    this.keep(
      this.panel.webview.onDidReceiveMessage((message: FromPanel) => void this.#hear(message)),
      // The data and both texts are read from disk.
      vscode.workspace.onDidSaveTextDocument(() => this.refresh()),
    );
  }

  protected async ask(): Promise<void> {
    const active = vscode.window.activeTextEditor?.document;
    if (active && isRunFile(active)) this.document = active;
    const document = this.document;
    if (!document) return;
    const isLast = this.begin();
    const view = await this.server.ask('enginewright/runView', this.#about(document));
    if (!isLast()) return;
    if (view) this.panel.title = view.title;
    this.#tell({ type: 'shown', view });
  }

  async #hear(message: FromPanel): Promise<void> {
    if (message.type === 'ready') this.refresh();
    else if (message.type === 'go') await this.#goTo(message.place);
    else {
      const document = this.document;
      if (!document) return;
      const { from, to, most } = message;
      const steps = await this.server.ask('enginewright/runSteps', {
        ...this.#about(document),
        from,
        to,
        most,
      });
      this.#tell({ type: 'steps', from, to, steps });
    }
  }

  #about(document: vscode.TextDocument) {
    return { textDocument: { uri: document.uri.toString() } };
  }

  #tell(message: ToPanel): void {
    void this.panel.webview.postMessage(message);
  }

  async #goTo({ uri, range }: Place): Promise<void> {
    const { start, end } = range;
    const selection = new vscode.Range(start.line, start.character, end.line, end.character);
    const editor = await vscode.window.showTextDocument(vscode.Uri.parse(uri), {
      viewColumn: vscode.ViewColumn.One,
      selection,
    });
    editor.revealRange(selection, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  }
}
