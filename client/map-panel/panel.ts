import * as vscode from 'vscode';
import type { TableViewAnswer } from '../../server/features/table-view.ts';
import { rangeFrom } from '../cell-commands.ts';
import { type CommittedTexts, whyNot } from '../committed.ts';
import { isEngineFile } from '../files.ts';
import type { LanguageServer } from '../language-server.ts';
import { panelBeside } from '../webview-page.ts';
import { type CellPlace, COMMITTED, type FromPanel, type Shown } from './messages.ts';

/** The commands that show the map under the cursor beside the text. One panel follows whatever text is worked in. */
export function mapPanel(
  server: LanguageServer,
  committed: CommittedTexts,
  extension: vscode.Uri,
): vscode.Disposable {
  let open: MapPanel | undefined;
  const shown = (): MapPanel => {
    open ??= new MapPanel(server, committed, extension, () => {
      open = undefined;
    });
    open.reveal();
    return open;
  };
  return vscode.Disposable.from(
    vscode.commands.registerCommand('enginewright.showMap', () => void shown()),
    vscode.commands.registerCommand('enginewright.compareMap', (path?: string) => shown().compare(path)),
    { dispose: () => open?.dispose() },
  );
}

/** Long enough that a burst of keys is one question, short enough that nobody waits. */
const QUIET_MS = 40;

class MapPanel {
  readonly #server: LanguageServer;
  readonly #committed: CommittedTexts;
  readonly #panel: vscode.WebviewPanel;
  readonly #subscriptions: vscode.Disposable[];
  readonly #cellMark = vscode.window.createTextEditorDecorationType({
    borderColor: new vscode.ThemeColor('focusBorder'),
    borderWidth: '1px',
    borderStyle: 'solid',
  });
  #document: vscode.TextDocument | undefined;
  #answer: TableViewAnswer | undefined;
  #against: string | null = null;
  #whyNot: string | undefined;
  #asked = 0;
  #waiting: ReturnType<typeof setTimeout> | undefined;

  constructor(server: LanguageServer, committed: CommittedTexts, extension: vscode.Uri, closed: () => void) {
    this.#server = server;
    this.#committed = committed;
    this.#panel = panelBeside(extension, 'enginewright.map', 'map-panel', 'Map');
    const { window, workspace } = vscode;
    this.#subscriptions = [
      this.#panel.webview.onDidReceiveMessage((message: FromPanel) => this.#hear(message)),
      this.#panel.onDidDispose(() => {
        this.#stop();
        closed();
      }),
      window.onDidChangeActiveTextEditor(() => this.#refresh()),
      window.onDidChangeTextEditorSelection(({ textEditor }) => {
        if (textEditor === window.activeTextEditor || textEditor.document === this.#document) this.#refresh();
      }),
      workspace.onDidChangeTextDocument(() => this.#refresh()),
      committed.onDidChange(() => this.#refresh()),
      this.#cellMark,
    ];
  }

  reveal(): void {
    this.#panel.reveal(undefined, true);
    this.#refresh();
  }

  /** Shows what the table has more than another of its kind, which the user chooses where no path is given. */
  async compare(path?: string): Promise<void> {
    await this.#ask();
    const none = { label: 'Nothing: show the table itself', path: null };
    const committed = { label: 'Its committed version', path: COMMITTED };
    const others = (this.#answer?.tables ?? []).filter((one) => one.isComparable);
    const choices = [committed, ...others.map((one) => ({ label: one.path, path: one.path })), none];
    const chosen = path === undefined ? await vscode.window.showQuickPick(choices) : { path };
    if (chosen) this.#compareWith(chosen.path);
  }

  #compareWith(path: string | null): void {
    this.#against = path;
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
    this.#waiting = setTimeout(() => void this.#ask(), QUIET_MS);
  }

  async #ask(): Promise<void> {
    const active = vscode.window.activeTextEditor;
    if (active && isEngineFile(active.document)) this.#document = active.document;
    const document = this.#document;
    if (!document) return;
    const mine = ++this.#asked;
    const { line, character } = this.#editor()?.selection.active ?? new vscode.Position(0, 0);
    const answer = await this.#server.ask<TableViewAnswer | null>('enginewright/tableView', {
      textDocument: { uri: document.uri.toString() },
      position: { line, character },
      ...(this.#answer?.path && { path: this.#answer.path }),
      ...(await this.#comparison(document)),
    });
    if (mine !== this.#asked || !answer) return;
    this.#answer = answer;
    this.#show();
  }

  async #comparison(document: vscode.TextDocument): Promise<{ against?: object }> {
    this.#whyNot = undefined;
    if (this.#against === null) return {};
    if (this.#against !== COMMITTED) return { against: { path: this.#against } };
    const committed = await this.#committed.of(document.uri);
    this.#whyNot = whyNot(committed, document);
    return committed.state === 'committed' ? { against: { text: committed.text } } : {};
  }

  #show(): void {
    const answer = this.#answer;
    if (!answer) return;
    const { tables, table, path, cursor, difference } = answer;
    if (table) this.#panel.title = table.label;
    const shown: Shown = {
      tables: tables.map(({ path, label, isComparable }) => ({ path, label, isComparable })),
      ...{ table, path, cursor, difference, against: this.#against, whyNot: this.#whyNot },
    };
    void this.#panel.webview.postMessage(shown);
    const range = cursor && answer.ranges[cursor.row]?.[cursor.column];
    this.#editor()?.setDecorations(this.#cellMark, range ? [rangeFrom(range)] : []);
  }

  #hear(message: FromPanel): void {
    if (message.type === 'ready') this.#show();
    else if (message.type === 'against') {
      this.#against = message.path;
      this.#refresh();
    } else if (message.type === 'choose') {
      const chosen = this.#answer?.tables.find(({ path }) => path === message.path);
      if (chosen) void this.#reveal(rangeFrom(chosen.range), false);
    } else void this.#goTo(message, message.type === 'open');
  }

  #goTo({ row, column }: CellPlace, takesFocus: boolean): void {
    const range = this.#answer?.ranges[row]?.[column];
    if (range) void this.#reveal(rangeFrom(range), takesFocus);
  }

  /** Puts the cursor of the text on a range. The focus stays in the panel unless it is asked for. */
  async #reveal(range: vscode.Range, takesFocus: boolean): Promise<void> {
    const { window } = vscode;
    let editor = this.#editor();
    if (this.#document && (!editor || takesFocus)) {
      const viewColumn = editor?.viewColumn ?? vscode.ViewColumn.One;
      editor = await window.showTextDocument(this.#document, { viewColumn, preserveFocus: !takesFocus });
    }
    if (!editor) return;
    editor.selection = new vscode.Selection(range.start, range.start);
    editor.revealRange(range, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  }

  #editor(): vscode.TextEditor | undefined {
    return vscode.window.visibleTextEditors.find(({ document }) => document === this.#document);
  }
}
