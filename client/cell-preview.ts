import * as vscode from 'vscode';
import type { CellChange } from '../server/protocol.ts';

/** Shows in a text what would become of it. Nothing of the text is changed. */
export class CellPreview {
  readonly #added = vscode.window.createTextEditorDecorationType({
    backgroundColor: new vscode.ThemeColor('diffEditor.insertedTextBackground'),
    after: { color: new vscode.ThemeColor('editorCodeLens.foreground'), fontStyle: 'italic' },
  });
  readonly #removed = vscode.window.createTextEditorDecorationType({
    backgroundColor: new vscode.ThemeColor('diffEditor.removedTextBackground'),
    textDecoration: 'line-through',
  });

  constructor(readonly editor: vscode.TextEditor) {}

  /** Shows a change; undefined shows the text as it is. */
  show(change: Pick<CellChange, 'cells' | 'edits'> | undefined): void {
    // Rows and columns that come and go are no numbers that change: they are shown as the edits that make them.
    const shown = change?.cells.length ? change.cells : (change?.edits ?? []);
    const parts = shown.map(({ range: { start, end }, newText }) => {
      const range = new vscode.Range(start.line, start.character, end.line, end.character);
      return { range, before: this.editor.document.getText(range).trim(), after: newText.trim() };
    });
    this.editor.setDecorations(
      this.#added,
      parts
        // Blanks that come and go to keep columns aligned say nothing.
        .filter(({ before, after }) => after !== '' && after !== before)
        .map(({ range, after }) => ({
          range,
          renderOptions: { after: { contentText: ` ${range.isEmpty ? '' : '→ '}${after}` } },
        })),
    );
    this.editor.setDecorations(
      this.#removed,
      parts.filter(({ before, after }) => after === '' && before !== '').map(({ range }) => ({ range })),
    );
  }

  dispose(): void {
    this.#added.dispose();
    this.#removed.dispose();
  }
}
