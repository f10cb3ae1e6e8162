import type { Position, Range } from 'vscode-languageserver/node';
import { type Editor, editorOf } from '../../server/editor.ts';
import { Workspace } from '../../server/workspace.ts';
import type { Analysis } from '../../shared/analysis.ts';
import { analyseCase } from '../support/fixture.ts';

/** A text as a user types it, with `$0` at the cursor. */
export interface Marked {
  readonly analysis: Analysis;
  readonly position: Position;
}

/**
 * Analyses a text without its `$0`. It may be based on `./complete.engine.yaml`, the complete installation of the
 * fixtures.
 */
export function marked(text: string, name = 'case.engine.yaml'): Marked {
  const offset = text.indexOf('$0');
  if (offset < 0) throw new Error('no $0 marks the cursor');
  const analysis = analyseCase(new Map([[name, text.replace('$0', '')]]));
  return { analysis, position: analysis.file.lines.position(offset) };
}

export const OVERLAY = 'based_on: ./complete.engine.yaml\n';

/** An overlay of the complete installation with one section. */
export const overlay = (section: string): Marked => marked(`${OVERLAY}${section}`);

export function analysed(text: string, name = 'case.engine.yaml'): Analysis {
  return analyseCase(new Map([[name, text]]));
}

export const wholeText: Range = { start: { line: 0, character: 0 }, end: { line: 100_000, character: 0 } };

/** An editor with all capabilities of VS Code. */
export const editor: Editor = editorOf({
  processId: null,
  rootUri: null,
  initializationOptions: { checkPages: 'check-page', suggestAgain: 'suggest' },
  capabilities: {
    workspace: { workspaceEdit: { snippetEditSupport: true } },
    textDocument: {
      completion: { completionItem: { snippetSupport: true, documentationFormat: ['markdown'] } },
      hover: { contentFormat: ['markdown', 'plaintext'] },
      documentSymbol: { hierarchicalDocumentSymbolSupport: true },
      inlayHint: { resolveSupport: { properties: ['label.tooltip', 'label.command'] } },
    },
  },
});

/** A workspace with only the open file. */
export const emptyWorkspace = new Workspace({ read: () => undefined });

/** An editor without optional capabilities. */
export const plainEditor: Editor = editorOf({ processId: null, rootUri: null, capabilities: {} });

/** The text of an analysis after edits in the protocol's form. */
export function edited(
  { file }: Pick<Analysis, 'file'>,
  edits: readonly { readonly range: Range; readonly newText: string }[],
): string {
  return edits
    .map(({ range, newText }) => ({
      start: file.lines.offset(range.start),
      end: file.lines.offset(range.end),
      newText,
    }))
    .sort((a, b) => b.start - a.start)
    .reduce((text, { start, end, newText }) => text.slice(0, start) + newText + text.slice(end), file.text);
}
