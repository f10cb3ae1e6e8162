import * as vscode from 'vscode';
import type { CellChange } from '../server/protocol.ts';
import { visibleEditorOf } from './files.ts';

/** A change of a document that is previewed, or undefined when it is no more. */
export interface PreviewEvent {
  readonly document: vscode.TextDocument;
  readonly change: CellChange | undefined;
}

const previewed = new vscode.EventEmitter<PreviewEvent>();

/** Tells panels what the text previews. */
export const onDidPreview = previewed.event;

/** A preview of a change, as decorations in the text if it is visible. The text itself is not changed. */
export class CellPreview {
  readonly #added = vscode.window.createTextEditorDecorationType({
    backgroundColor: new vscode.ThemeColor('diffEditor.insertedTextBackground'),
    after: { color: new vscode.ThemeColor('editorCodeLens.foreground'), fontStyle: 'italic' },
  });
  readonly #removed = vscode.window.createTextEditorDecorationType({
    backgroundColor: new vscode.ThemeColor('diffEditor.removedTextBackground'),
    textDecoration: 'line-through',
  });

  constructor(readonly document: vscode.TextDocument) {}

  /** Shows a change; undefined removes the preview. */
  show(change: CellChange | undefined): void {
    previewed.fire({ document: this.document, change });
    const editor = visibleEditorOf(this.document);
    if (!editor) return;
    // New and removed rows and columns have no changed cells; they are shown as edits.
    const shown = change?.cells.length ? change.cells : (change?.edits ?? []);
    const parts = shown.map(({ range: { start, end }, newText }) => {
      const range = new vscode.Range(start.line, start.character, end.line, end.character);
      return { range, before: this.document.getText(range).trim(), after: newText.trim() };
    });
    editor.setDecorations(
      this.#added,
      parts
        // Blanks that only align columns are left out.
        .filter(({ before, after }) => after !== '' && after !== before)
        .map(({ range, after }) => ({
          range,
          renderOptions: { after: { contentText: ` ${range.isEmpty ? '' : '→ '}${after}` } },
        })),
    );
    editor.setDecorations(
      this.#removed,
      parts.filter(({ before, after }) => after === '' && before !== '').map(({ range }) => ({ range })),
    );
  }

  dispose(): void {
    previewed.fire({ document: this.document, change: undefined });
    this.#added.dispose();
    this.#removed.dispose();
  }
}
