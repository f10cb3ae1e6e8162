import * as vscode from 'vscode';
import type { CellChange } from '../server/protocol.ts';

/** A preview of a change, as decorations in the text. The text itself is not changed. */
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

  /** Shows a change; undefined removes the preview. */
  show(change: Pick<CellChange, 'cells' | 'edits'> | undefined): void {
    // New and removed rows and columns have no changed cells; they are shown as edits.
    const shown = change?.cells.length ? change.cells : (change?.edits ?? []);
    const parts = shown.map(({ range: { start, end }, newText }) => {
      const range = new vscode.Range(start.line, start.character, end.line, end.character);
      return { range, before: this.editor.document.getText(range).trim(), after: newText.trim() };
    });
    this.editor.setDecorations(
      this.#added,
      parts
        // Blanks that only align columns are left out.
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
