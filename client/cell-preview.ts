import * as vscode from 'vscode';
import type { CellChange } from '../server/features/cell-change.ts';

/** Shows behind each number of a text what it would become. Nothing of the text is changed. */
export class CellPreview {
  readonly #decoration = vscode.window.createTextEditorDecorationType({
    backgroundColor: new vscode.ThemeColor('diffEditor.insertedTextBackground'),
    after: { color: new vscode.ThemeColor('editorCodeLens.foreground'), fontStyle: 'italic' },
  });

  constructor(readonly editor: vscode.TextEditor) {}

  /** Shows a change; undefined shows the text as it is. */
  show(change: Pick<CellChange, 'cells' | 'edits'> | undefined): void {
    // Rows and columns that come and go are no numbers that change: they are shown as the edits that make them.
    const shown = change?.cells.length ? change.cells : (change?.edits ?? []);
    this.editor.setDecorations(
      this.#decoration,
      shown.map(({ range: { start, end }, newText }) => ({
        range: new vscode.Range(start.line, start.character, end.line, end.character),
        renderOptions: { after: { contentText: ` → ${newText.trim() || '∅'}` } },
      })),
    );
  }

  dispose(): void {
    this.#decoration.dispose();
  }
}
