import * as vscode from 'vscode';
import type { TableViewAnswer, TableViewParams } from '../../server/protocol.ts';
import { rangeFrom } from '../cell-commands.ts';
import { type CommittedTexts, whyNot } from '../committed.ts';
import { isEngineFile } from '../files.ts';
import { FollowingPanel, OnePanel } from '../following-panel.ts';
import type { LanguageServer } from '../language-server.ts';
import { panelBeside } from '../webview-page.ts';
import { type CellPlace, COMMITTED, type FromPanel, type Shown } from './messages.ts';

/** The commands that show the map at the cursor to the side. One panel follows the active text. */
export function mapPanel(
  server: LanguageServer,
  committed: CommittedTexts,
  extension: vscode.Uri,
): vscode.Disposable {
  const panel = new OnePanel((closed) => new MapPanel(server, committed, extension, closed));
  return vscode.Disposable.from(
    vscode.commands.registerCommand('enginewright.showMap', () => void panel.shown()),
    vscode.commands.registerCommand('enginewright.compareMap', (path?: string) =>
      panel.shown().compare(path),
    ),
    panel,
  );
}

/** Long enough to combine a burst of keys, too short to be noticed. */
const QUIET_MS = 40;

class MapPanel extends FollowingPanel {
  readonly #server: LanguageServer;
  readonly #committed: CommittedTexts;
  readonly #cellMark = vscode.window.createTextEditorDecorationType({
    borderColor: new vscode.ThemeColor('focusBorder'),
    borderWidth: '1px',
    borderStyle: 'solid',
  });
  #answer: TableViewAnswer | undefined;
  #against: string | null = null;
  #whyNot: string | undefined;

  constructor(server: LanguageServer, committed: CommittedTexts, extension: vscode.Uri, closed: () => void) {
    super(panelBeside(extension, 'enginewright.map', 'map-panel', 'Map'), QUIET_MS, closed);
    this.#server = server;
    this.#committed = committed;
    const { window, workspace } = vscode;
    this.keep(
      this.panel.webview.onDidReceiveMessage((message: FromPanel) => this.#hear(message)),
      window.onDidChangeTextEditorSelection(({ textEditor }) => {
        if (textEditor === window.activeTextEditor || textEditor.document === this.document) this.refresh();
      }),
      workspace.onDidChangeTextDocument(() => this.refresh()),
      server.onDidChange(() => this.refresh()),
      committed.onDidChange(() => this.refresh()),
      this.#cellMark,
    );
  }

  /** Shows the difference from another table; without a path the user selects one. */
  async compare(path?: string): Promise<void> {
    await this.ask();
    const none = { label: 'Nothing (show the table itself)', path: null };
    const committed = { label: 'Committed version', path: COMMITTED };
    const others = (this.#answer?.tables ?? []).filter((one) => one.isComparable);
    const choices = [committed, ...others.map((one) => ({ label: one.path, path: one.path })), none];
    const chosen =
      path === undefined
        ? await vscode.window.showQuickPick(choices, { placeHolder: 'Compare with' })
        : { path };
    if (chosen) this.#compareWith(chosen.path);
  }

  #compareWith(path: string | null): void {
    this.#against = path;
    this.refresh();
  }

  protected async ask(): Promise<void> {
    const active = vscode.window.activeTextEditor;
    if (active && isEngineFile(active.document)) this.document = active.document;
    const document = this.document;
    if (!document) return;
    const isLast = this.begin();
    const { line, character } = this.#editor()?.selection.active ?? new vscode.Position(0, 0);
    const answer = await this.#server.ask('enginewright/tableView', {
      textDocument: { uri: document.uri.toString() },
      position: { line, character },
      ...(this.#answer?.path && { path: this.#answer.path }),
      ...(await this.#comparison(document)),
    });
    if (!isLast() || !answer) return;
    this.#answer = answer;
    this.#show();
  }

  async #comparison(document: vscode.TextDocument): Promise<Pick<TableViewParams, 'against'>> {
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
    if (table) this.panel.title = table.label;
    const shown: Shown = {
      tables: tables.map(({ path, label, isComparable }) => ({ path, label, isComparable })),
      ...{ table, path, cursor, difference, against: this.#against, whyNot: this.#whyNot },
    };
    void this.panel.webview.postMessage(shown);
    const range = cursor && answer.ranges[cursor.row]?.[cursor.column];
    this.#editor()?.setDecorations(this.#cellMark, range ? [rangeFrom(range)] : []);
  }

  #hear(message: FromPanel): void {
    if (message.type === 'ready') this.#show();
    else if (message.type === 'against') this.#compareWith(message.path);
    else if (message.type === 'choose') {
      const chosen = this.#answer?.tables.find(({ path }) => path === message.path);
      if (chosen) void this.#reveal(rangeFrom(chosen.range), false);
    } else void this.#goTo(message, message.type === 'open');
  }

  #goTo({ row, column }: CellPlace, takesFocus: boolean): void {
    const range = this.#answer?.ranges[row]?.[column];
    if (range) void this.#reveal(rangeFrom(range), takesFocus);
  }

  /** Puts the cursor of the text on a range. The focus stays in the panel unless `takesFocus`. */
  async #reveal(range: vscode.Range, takesFocus: boolean): Promise<void> {
    const { window } = vscode;
    let editor = this.#editor();
    if (this.document && (!editor || takesFocus)) {
      const viewColumn = editor?.viewColumn ?? vscode.ViewColumn.One;
      editor = await window.showTextDocument(this.document, { viewColumn, preserveFocus: !takesFocus });
    }
    if (!editor) return;
    editor.selection = new vscode.Selection(range.start, range.start);
    editor.revealRange(range, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  }

  #editor(): vscode.TextEditor | undefined {
    return vscode.window.visibleTextEditors.find(({ document }) => document === this.document);
  }
}
