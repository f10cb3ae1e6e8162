import * as vscode from 'vscode';
import {
  type CellChange,
  CHANGE_CELLS,
  type ChangeCellsArguments,
  type TableViewAnswer,
  type WorkAsked,
} from '../../server/protocol.ts';
import type { Work } from '../../shared/tables/work.ts';
import { apply, Place } from '../cell-commands.ts';
import { CellPreview, onDidPreview } from '../cell-preview.ts';
import type { LanguageServer } from '../language-server.ts';
import type { CellPlace, Previewed } from './messages.ts';

/** The map panel, as far as changes of its cells need it. */
interface Grid {
  /** The text and what is selected in it. */
  where(): { document: vscode.TextDocument; selections: readonly vscode.Range[] } | undefined;
  /** The cell of the cursor. */
  cursor(): CellPlace | undefined;
  shown(): TableViewAnswer | undefined;
  post(message: Previewed): void;
}

/** Changes of the cells selected in the map panel: previewed in panel and text, and written into the text. */
export class CellWork implements vscode.Disposable {
  readonly #server: LanguageServer;
  readonly #grid: Grid;
  readonly #previews: vscode.Disposable;
  #preview: CellPreview | undefined;
  #looked = 0;

  constructor(server: LanguageServer, grid: Grid) {
    this.#server = server;
    this.#grid = grid;
    this.#previews = onDidPreview(({ document, change }) => {
      if (document === grid.where()?.document) this.#tell(change ?? null);
    });
  }

  /** Shows what a change would do; null shows none any more. */
  async look(work: Work | null): Promise<void> {
    const mine = ++this.#looked;
    const where = this.#grid.where();
    if (!where || !work) {
      this.#preview?.dispose();
      this.#preview = undefined;
      return;
    }
    const answer = await this.#changeOf(work);
    if (mine !== this.#looked) return;
    this.#preview ??= new CellPreview(where.document);
    this.#preview.show(answer && !('refusal' in answer) ? answer : undefined);
    if (answer && 'refusal' in answer) this.#refuse(answer.refusal);
  }

  /** Writes a change, or says why it cannot be done; resolves with whether it was written. */
  async change(work: Work): Promise<boolean> {
    const where = this.#grid.where();
    const answer = await this.#changeOf(work);
    await this.look(null);
    if (!where || !answer) return false;
    if ('refusal' in answer) {
      this.#refuse(answer.refusal);
      return false;
    }
    await apply(where.document, answer);
    this.#grid.post({ type: 'previewed', words: wordsOf(answer), isRefused: false, cells: [] });
    return true;
  }

  /** Runs the command that asks for what a change lacks, or for a yes. */
  async ask(work: Work | WorkAsked, axis?: 'x' | 'y'): Promise<void> {
    const where = this.#grid.where();
    if (!where) return;
    const { table, breakpoints } = this.#grid.shown() ?? {};
    const cursor = this.#grid.cursor();
    const point = axis && cursor && breakpoints?.[axis][axis === 'x' ? cursor.column : cursor.row];
    if (axis && !point) {
      const isCurve = axis === 'y' && table?.y === null;
      this.#refuse(isCurve ? 'A curve has only one row.' : 'The breakpoints are in another file.');
      return;
    }
    const selections = point ? [point] : where.selections;
    const given: ChangeCellsArguments = [work, where.document.uri.toString(), [...selections]];
    await vscode.commands.executeCommand(CHANGE_CELLS, ...given);
  }

  dispose(): void {
    this.#previews.dispose();
    this.#preview?.dispose();
  }

  async #changeOf(work: Work) {
    const where = this.#grid.where();
    return where ? new Place(this.#server, where.document, where.selections).change(work) : null;
  }

  #tell(change: CellChange | null): void {
    const places = new Map<string, CellPlace>();
    this.#grid.shown()?.ranges.forEach((cells, row) => {
      cells.forEach(({ start }, column) => {
        places.set(`${start.line}:${start.character}`, { row, column });
      });
    });
    const cells = (change?.cells ?? []).flatMap(({ range: { start }, newText }) => {
      const place = places.get(`${start.line}:${start.character}`);
      return place ? [{ ...place, text: newText }] : [];
    });
    this.#grid.post({ type: 'previewed', words: change && wordsOf(change), isRefused: false, cells });
  }

  #refuse(words: string): void {
    this.#grid.post({ type: 'previewed', words, isRefused: true, cells: [] });
  }
}

const wordsOf = ({ title, summary }: CellChange): string => `${title}: ${summary}`;
