import * as vscode from 'vscode';
import type { MemoryView } from '../../server/features/memory-view-types.ts';
import { rangeFrom } from '../cell-commands.ts';
import { isEngineFile } from '../files.ts';
import { FollowingPanel, OnePanel } from '../following-panel.ts';
import { goTo } from '../go-to-place.ts';
import type { LanguageServer } from '../language-server.ts';
import { panelBeside } from '../webview-page.ts';
import type { FromPanel, ToPanel } from './messages.ts';

/** The command that shows the storage image beside the text. One panel follows the active text. */
export function memoryPanel(server: LanguageServer, extension: vscode.Uri): vscode.Disposable {
  const panel = new OnePanel((closed) => new MemoryPanel(server, extension, closed));
  return vscode.Disposable.from(
    vscode.commands.registerCommand('enginewright.showMemory', () => void panel.shown()),
    panel,
  );
}

/** Long enough to combine a burst of keys, too short to be noticed. */
const QUIET_MS = 120;

class MemoryPanel extends FollowingPanel {
  #canDraw = false;
  #view: MemoryView | null = null;

  constructor(server: LanguageServer, extension: vscode.Uri, closed: () => void) {
    const panel = panelBeside(extension, 'enginewright.memory', 'memory-panel', 'Memory');
    super(panel, server, QUIET_MS, closed);
    const { window, workspace } = vscode;
    this.keep(
      panel.webview.onDidReceiveMessage((message: FromPanel) => this.#hear(message)),
      workspace.onDidChangeTextDocument(({ document }) => {
        if (isEngineFile(document)) this.refresh();
      }),
      window.onDidChangeTextEditorSelection(({ textEditor }) => this.#mark(textEditor)),
      server.onDidChange(() => this.refresh()),
    );
  }

  override reveal(): void {
    this.#follow();
    super.reveal();
  }

  override refresh(): void {
    if (this.#canDraw) super.refresh();
  }

  protected async ask(): Promise<void> {
    this.#follow();
    if (!this.document) return;
    const isLast = this.begin();
    const textDocument = { uri: this.document.uri.toString() };
    const view = await this.server.ask('enginewright/memoryView', { textDocument });
    if (!isLast()) return;
    this.#view = view;
    if (view) this.panel.title = `Memory of ${view.title}`;
    this.#tell({ type: 'shown', view });
    this.#mark(vscode.window.activeTextEditor);
  }

  #follow(): void {
    const document = vscode.window.activeTextEditor?.document;
    if (document && isEngineFile(document)) this.document = document;
  }

  /** Marks the bytes of the values on the lines of the cursor, or those whose list contains it. */
  #mark(editor: vscode.TextEditor | undefined): void {
    if (!editor || !this.#view || !isEngineFile(editor.document)) return;
    const uri = editor.document.uri.toString();
    const { active } = editor.selection;
    const cells = this.#view.regions.flatMap((region) => region.cells);
    const isHere = ({ place }: (typeof cells)[number]) =>
      place?.uri === uri && rangeFrom(place.range).contains(active);
    this.#tell({ type: 'marked', addresses: cells.filter(isHere).map(({ at }) => at) });
  }

  #tell(message: ToPanel): void {
    void this.panel.webview.postMessage(message);
  }

  #hear(message: FromPanel): void {
    if (message.type === 'go') void goTo(message.place);
    else {
      this.#canDraw = true;
      this.refresh();
    }
  }
}
