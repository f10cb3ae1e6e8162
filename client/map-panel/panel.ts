import * as vscode from 'vscode';
import type { TableViewAnswer, TableViewParams } from '../../server/protocol.ts';
import { rectangleOf } from '../../shared/tables/surface.ts';
import type { Work } from '../../shared/tables/work.ts';
import { rangeFrom, type Where } from '../cell-commands.ts';
import { type CommittedTexts, whyNot } from '../committed.ts';
import { isEngineFile } from '../files.ts';
import { FollowingPanel, OnePanel } from '../following-panel.ts';
import type { LanguageServer } from '../language-server.ts';
import { panelBeside } from '../webview-page.ts';
import { CellWork } from './cell-work.ts';
import { type CellPlace, type CellSpan, COMMITTED, type FromPanel, type Shown } from './messages.ts';

/** The commands that show the map at the cursor to the side. One panel follows the active text. */
export function mapPanel(server: LanguageServer, committed: CommittedTexts, extension: vscode.Uri) {
  const panel = new OnePanel((closed) => new MapPanel(server, committed, extension, closed));
  const all = vscode.Disposable.from(
    vscode.commands.registerCommand('enginewright.showMap', () => void panel.shown()),
    vscode.commands.registerCommand('enginewright.compareMap', (path?: string) =>
      panel.shown().compare(path),
    ),
    panel,
  );
  return {
    /** The selected cells while the panel has the focus. */
    get where(): Where | undefined {
      return panel.open?.where;
    },
    dispose: () => all.dispose(),
  };
}

/** Long enough to combine a burst of keys, too short to be noticed. */
const QUIET_MS = 40;

class MapPanel extends FollowingPanel {
  readonly #committed: CommittedTexts;
  readonly #work: CellWork;
  readonly #cellMark = vscode.window.createTextEditorDecorationType({
    borderColor: new vscode.ThemeColor('focusBorder'),
    borderWidth: '1px',
    borderStyle: 'solid',
  });
  #answer: TableViewAnswer | undefined;
  /** The cells to select when the changed text, from this version on, is read. */
  #next: { readonly cells: CellSpan; readonly version: number; readonly turn: number } | undefined;
  /** How often the panel has selected cells, and how often it had when the text was asked. */
  #turn = 0;
  #turnAsked = 0;
  /** The cells selected in the panel, and the version of the text in which their places are known. */
  #cells: CellSpan | undefined;
  #version = 0;
  #against: string | null = null;
  #whyNot: string | undefined;

  constructor(server: LanguageServer, committed: CommittedTexts, extension: vscode.Uri, closed: () => void) {
    super(panelBeside(extension, 'enginewright.map', 'map-panel', 'Map'), server, QUIET_MS, closed);
    this.#committed = committed;
    this.#work = new CellWork(server, {
      where: () => this.document && { document: this.document, selections: this.#selections() },
      shown: () => this.#answer,
      post: (preview) => void this.panel.webview.postMessage(preview),
    });
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
      this.#work,
    );
  }

  /** The selected cells while the panel has the focus. */
  get where(): Where | undefined {
    return this.panel.active && this.document
      ? { uri: this.document.uri.toString(), selections: this.#selections() }
      : undefined;
  }

  /** Shows the difference from another table; without a path the user selects one. */
  async compare(path?: string): Promise<void> {
    await this.ask();
    const none = { label: 'Nothing (show the table itself)', path: null };
    const committed = { label: this.#committed.revision?.name ?? 'Committed version', path: COMMITTED };
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
    const { version } = document;
    const turn = this.#turn;
    const { line, character } = this.#editor()?.selection.active ?? new vscode.Position(0, 0);
    const selections = this.#editor()?.selections ?? [];
    const answer = await this.server.ask('enginewright/tableView', {
      textDocument: { uri: document.uri.toString() },
      position: { line, character },
      selections: selections.map(({ start, end }) => ({ start, end })),
      ...(this.#answer?.path && { path: this.#answer.path }),
      ...(await this.#comparison(document)),
    });
    if (!isLast() || !answer) return;
    this.#answer = answer;
    this.#turnAsked = turn;
    this.#version = version;
    if (turn === this.#turn) this.#cells = spanOf(answer);
    if (!this.#next || version < this.#next.version) return this.#show();
    const { cells, turn: turnThen } = this.#next;
    this.#next = undefined;
    // Unless other cells have been selected since.
    if (turnThen !== this.#turn) return this.#show();
    this.#select(cells);
    this.#show(cells);
  }

  async #comparison(document: vscode.TextDocument): Promise<Pick<TableViewParams, 'against'>> {
    this.#whyNot = undefined;
    if (this.#against === null) return {};
    if (this.#against !== COMMITTED) return { against: { path: this.#against } };
    const committed = await this.#committed.of(document.uri);
    this.#whyNot = whyNot(committed, document);
    return committed.state === 'committed' ? { against: { text: committed.text } } : {};
  }

  /** `cells` are those that the text is about to select; without them, what it has selected is shown. */
  #show(cells?: CellSpan): void {
    const answer = this.#answer;
    if (!answer) return;
    const { tables, table, path, difference } = answer;
    if (table) this.panel.title = table.label;
    const at = cells?.to ?? answer.cursor;
    const shown: Shown = {
      type: 'shown',
      tables: tables.map(({ path, label, isComparable }) => ({ path, label, isComparable })),
      ...{ table, path, difference, against: this.#against, whyNot: this.#whyNot },
      cursor: at,
      selected: cells ? rectangleOf(cells.from, cells.to) : answer.selected,
      turn: this.#turnAsked,
      revision: this.#committed.revision?.name ?? null,
    };
    void this.panel.webview.postMessage(shown);
    const range = at && answer.ranges[at.row]?.[at.column];
    this.#editor()?.setDecorations(this.#cellMark, range ? [rangeFrom(range)] : []);
  }

  #hear(message: FromPanel): void {
    switch (message.type) {
      case 'ready':
        this.#turn = 0;
        this.#turnAsked = 0;
        this.#show();
        break;
      case 'against':
        this.#compareWith(message.path);
        break;
      case 'choose': {
        const chosen = this.#answer?.tables.find(({ path }) => path === message.path);
        if (chosen) void this.#reveal([rangeFrom(chosen.range)], false);
        break;
      }
      case 'select':
        this.#turn = message.turn;
        this.#select(message);
        break;
      case 'open': {
        const range = this.#rangeAt(message.to);
        if (range) void this.#reveal([range], true);
        break;
      }
      case 'preview':
        void this.#work.look(message.work);
        break;
      case 'change':
        void this.#change(message.work, message.next);
        break;
      case 'ask':
        void this.#work.ask(message.work, message.axis);
        break;
      case 'undo':
      case 'redo':
        void this.#step(message.type);
    }
  }

  async #change(work: Work, cells: CellSpan): Promise<void> {
    const { document } = this;
    if (!document) return;
    this.#next = { cells, version: document.version + 1, turn: this.#turn };
    if (await this.#work.change(work)) this.refresh();
    else this.#next = undefined;
  }

  #rangeAt({ row, column }: CellPlace): vscode.Range | undefined {
    const range = this.#answer?.ranges[row]?.[column];
    return range && rangeFrom(range);
  }

  /** Selects cells in the text, row by row, so that the commands for cells find them; a single cell gets the cursor. */
  #select({ from, to }: CellSpan): void {
    const { top, bottom, left, right } = rectangleOf(from, to);
    const rows = Array.from({ length: bottom - top + 1 }, (_, i) => (to.row === top ? top + i : bottom - i));
    const ranges = rows.flatMap((row) => {
      const [first, last] = [this.#rangeAt({ row, column: left }), this.#rangeAt({ row, column: right })];
      return first && last ? [new vscode.Range(first.start, last.end)] : [];
    });
    this.#cells = { from, to };
    const isOne = top === bottom && left === right;
    if (ranges.length > 0) void this.#reveal(ranges, false, !isOne, to.column < from.column);
  }

  /**
   * The text of the cells selected in the panel. The editor tells of its selection late, so that a value typed at once would
   * go to the cell before.
   */
  #selections(): readonly vscode.Range[] {
    if (this.#cells && this.#version === this.document?.version) {
      const ends = [this.#rangeAt(this.#cells.from), this.#rangeAt(this.#cells.to)];
      if (ends.every((end) => end !== undefined)) return ends;
    }
    return this.#editor()?.selections ?? [];
  }

  /** Undoes or redoes in the text, whose history has every change, and gives the focus back to the panel. */
  async #step(which: 'undo' | 'redo'): Promise<void> {
    const { document } = this;
    if (!document) return;
    await vscode.window.showTextDocument(document, { viewColumn: this.#column() });
    await vscode.commands.executeCommand(which);
    this.panel.reveal(undefined, false);
  }

  /**
   * Puts the cursor of the text on the first range or, if it `spans`, selects them all, the first being the main one. The focus
   * stays in the panel unless `takesFocus`.
   */
  async #reveal(
    ranges: readonly vscode.Range[],
    takesFocus: boolean,
    spans = false,
    isBackward = false,
  ): Promise<void> {
    const { window } = vscode;
    let editor = this.#editor();
    if (this.document && (!editor || takesFocus)) {
      const viewColumn = this.#column();
      editor = await window.showTextDocument(this.document, { viewColumn, preserveFocus: !takesFocus });
    }
    const [first] = ranges;
    if (!editor || !first) return;
    editor.selections = spans
      ? ranges.map(
          ({ start, end }) => new vscode.Selection(isBackward ? end : start, isBackward ? start : end),
        )
      : [new vscode.Selection(first.start, first.start)];
    editor.revealRange(first, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  }

  #column(): vscode.ViewColumn {
    return this.#editor()?.viewColumn ?? vscode.ViewColumn.One;
  }

  #editor(): vscode.TextEditor | undefined {
    return vscode.window.visibleTextEditors.find(({ document }) => document === this.document);
  }
}

/** The cells that the text selects. */
function spanOf({ cursor, selected }: TableViewAnswer): CellSpan | undefined {
  if (!cursor || !selected) return undefined;
  const row = cursor.row === selected.top ? selected.bottom : selected.top;
  const column = cursor.column === selected.left ? selected.right : selected.left;
  return { from: { row, column }, to: cursor };
}
