import * as vscode from 'vscode';
import type { CellChange } from '../server/features/cell-change.ts';

/** Shows behind each number of a text what it would become. Nothing of the text is changed. */
export class CellPreview {
  readonly #decoration = vscode.window.createTextEditorDecorationType({
    backgroundColor: new vscode.ThemeColor('diffEditor.insertedTextBackground'),
    after: { color: new vscode.ThemeColor('editorCodeLens.foreground'), fontStyle: 'italic' },
  });

  constructor(readonly editor: vscode.TextEditor) {}

  show(cells: CellChange['cells']): void {
    this.editor.setDecorations(
      this.#decoration,
      cells.map(({ range: { start, end }, newText }) => ({
        range: new vscode.Range(start.line, start.character, end.line, end.character),
        renderOptions: { after: { contentText: ` → ${newText}` } },
      })),
    );
  }

  dispose(): void {
    this.#decoration.dispose();
  }
}
