import * as vscode from 'vscode';
import type { TableViewAnswer, TableViewParams } from '../../server/protocol.ts';
import type { Work } from '../../shared/tables/work.ts';
import { rangeFrom, type Where } from '../cell-commands.ts';
import { type CommittedTexts, whyNot } from '../committed.ts';
import { isEngineFile, visibleEditorOf } from '../files.ts';
import { FollowingPanel, OnePanel } from '../following-panel.ts';
import type { LanguageServer } from '../language-server.ts';
import { panelBeside } from '../webview-page.ts';
import { CellWork } from './cell-work.ts';
import { type CellPlace, type CellSpan, COMMITTED, type FromPanel, type Shown } from './messages.ts';
import { areaOf, isOne, selectionOf } from './view/selection.ts';

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

/** So often the text may change while its table is asked for. */
const MOST_TRIES = 5;

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
  /** The selected cells, and how often they have been selected in the panel. */
  #cells: CellSpan | undefined;
  #turn = 0;
  /** What the panel has selected in the text but the editor has not yet told of: until then, its selection is an old one. */
  #untold: readonly vscode.Selection[] | undefined;
  /** The version of the text in which the places of the cells are known. */
  #version = 0;
  /** What the panel asked for last: each is done in the order in which it was asked. */
  #doing: Promise<void> = Promise.resolve();
  #against: string | null = null;
  #whyNot: string | undefined;

  constructor(server: LanguageServer, committed: CommittedTexts, extension: vscode.Uri, closed: () => void) {
    super(panelBeside(extension, 'enginewright.map', 'map-panel', 'Map'), server, QUIET_MS, closed);
    this.#committed = committed;
    this.#work = new CellWork(server, {
      where: () => this.document && { document: this.document, selections: this.#selections() },
      cursor: () => this.#cells?.to,
      shown: () => this.#answer,
      post: (preview) => void this.panel.webview.postMessage(preview),
    });
    const { window, workspace } = vscode;
    this.keep(
      this.panel.webview.onDidReceiveMessage((message: FromPanel) => {
        this.#doing = this.#doing.then(() => this.#hear(message)).catch(() => {});
      }),
      window.onDidChangeTextEditorSelection(({ textEditor, selections }) => {
        if (textEditor.document === this.document && isSame(selections, this.#untold))
          this.#untold = undefined;
        if (textEditor === window.activeTextEditor || textEditor.document === this.document) this.refresh();
      }),
      workspace.onDidChangeTextDocument(({ document }) => {
        if (document === this.document) this.#untold = undefined;
        this.refresh();
      }),
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
    this.#version = version;
    const next = this.#next && version >= this.#next.version ? this.#next : undefined;
    if (next) this.#next = undefined;
    // Unless other cells have been selected since.
    if (next?.turn === this.#turn) void this.#select(next.cells);
    else if (turn === this.#turn && !this.#untold)
      this.#cells = answer.cursor ? selectionOf(answer.cursor, answer.selected) : undefined;
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
    const { tables, table, path, difference } = answer;
    if (table) this.panel.title = table.label;
    const shown: Shown = {
      type: 'shown',
      tables: tables.map(({ path, label, isComparable }) => ({ path, label, isComparable })),
      ...{ table, path, difference, against: this.#against, whyNot: this.#whyNot },
      ...{ cells: this.#cells ?? null, turn: this.#turn },
      revision: this.#committed.revision?.name ?? null,
    };
    void this.panel.webview.postMessage(shown);
    const range = this.#cells && this.#rangeAt(this.#cells.to);
    this.#editor()?.setDecorations(this.#cellMark, range ? [range] : []);
  }

  async #hear(message: FromPanel): Promise<void> {
    await this.#upToDate();
    switch (message.type) {
      case 'ready':
        this.#turn = 0;
        return this.#show();
      case 'against':
        return this.#compareWith(message.path);
      case 'choose': {
        const chosen = this.#answer?.tables.find(({ path }) => path === message.path);
        return chosen && this.#reveal([cursorAt(rangeFrom(chosen.range))], false);
      }
      case 'select':
        this.#turn = message.turn;
        return this.#select(message);
      case 'open': {
        const range = this.#rangeAt(message.to);
        return range && this.#reveal([cursorAt(range)], true);
      }
      case 'preview':
        return this.#work.look(message.work);
      case 'change':
        return this.#change(message.work, message.next);
      case 'ask':
        // It waits for the user.
        void this.#work.ask(message.work, message.axis);
        return;
      case 'undo':
      case 'redo':
        return this.#step(message.type);
    }
  }

  /** Waits until the places of the cells are those in the text as it is now. */
  async #upToDate(): Promise<void> {
    for (let tries = 0; tries < MOST_TRIES && this.#version !== this.document?.version; tries++)
      await this.ask().catch(() => {});
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
  #select(cells: CellSpan): Promise<void> {
    this.#cells = cells;
    const { from, to } = cells;
    const { top, bottom, left, right } = areaOf(cells);
    const rows = Array.from({ length: bottom - top + 1 }, (_, i) => (to.row === top ? top + i : bottom - i));
    const isBackward = to.column < from.column;
    const selections = rows.flatMap((row) => {
      const [first, last] = [this.#rangeAt({ row, column: left }), this.#rangeAt({ row, column: right })];
      if (!first || !last) return [];
      if (isOne(cells)) return [cursorAt(first)];
      const [start, end] = [first.start, last.end];
      return [isBackward ? new vscode.Selection(end, start) : new vscode.Selection(start, end)];
    });
    this.#untold = isSame(selections, this.#editor()?.selections) ? undefined : selections;
    return this.#reveal(selections, false);
  }

  /** The text of the selected cells, the first and the last; without any, what the editor has selected. */
  #selections(): readonly vscode.Range[] {
    if (!this.#cells) return this.#editor()?.selections ?? [];
    return [this.#cells.from, this.#cells.to].flatMap((cell) => this.#rangeAt(cell) ?? []);
  }

  /** Undoes or redoes in the text, whose history has every change, and gives the focus back to the panel. */
  async #step(which: 'undo' | 'redo'): Promise<void> {
    const { document } = this;
    if (!document) return;
    await vscode.window.showTextDocument(document, { viewColumn: this.#column() });
    await vscode.commands.executeCommand(which);
    this.panel.reveal(undefined, false);
  }

  /** Selects in the text, the first being the main one. The focus stays in the panel unless `takesFocus`. */
  async #reveal(selections: readonly vscode.Selection[], takesFocus: boolean): Promise<void> {
    const { window } = vscode;
    const [first] = selections;
    if (!this.document || !first) return;
    let editor = this.#editor();
    if (!editor || takesFocus)
      editor = await window.showTextDocument(this.document, {
        viewColumn: this.#column(),
        preserveFocus: !takesFocus,
      });
    editor.selections = selections;
    editor.revealRange(first, vscode.TextEditorRevealType.InCenterIfOutsideViewport);
  }

  #column(): vscode.ViewColumn {
    return this.#editor()?.viewColumn ?? vscode.ViewColumn.One;
  }

  #editor(): vscode.TextEditor | undefined {
    return visibleEditorOf(this.document);
  }
}

const isSame = (
  some: readonly vscode.Selection[],
  others: readonly vscode.Selection[] | undefined,
): boolean => some.length === others?.length && some.every((one, i) => one.isEqual(others[i]!));

const cursorAt = ({ start }: vscode.Range): vscode.Selection => new vscode.Selection(start, start);
