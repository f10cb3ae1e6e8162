import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Range, SelectionRange } from 'vscode-languageserver/node';
import { codeActionsFor } from '../../server/features/code-actions.ts';
import { lensesIn } from '../../server/features/code-lenses.ts';
import { completionAt } from '../../server/features/completion/completion.ts';
import { definitionAt } from '../../server/features/definition.ts';
import { diagnosticsOf } from '../../server/features/diagnostics.ts';
import { linksIn } from '../../server/features/document-links.ts';
import { symbolsOf } from '../../server/features/document-symbols.ts';
import { foldingRangesIn } from '../../server/features/folding.ts';
import { formattingOf } from '../../server/features/formatting.ts';
import { highlightsAt } from '../../server/features/highlights.ts';
import { hoverAt } from '../../server/features/hover.ts';
import { inlayHintsIn } from '../../server/features/inlay-hints.ts';
import { installationViewOf } from '../../server/features/installation-view.ts';
import { referencesAt } from '../../server/features/references.ts';
import { renameAt, renameableAt } from '../../server/features/rename.ts';
import { selectionRangeAt } from '../../server/features/selection-ranges.ts';
import { tokensOf } from '../../server/features/semantic-tokens.ts';
import { Workspace } from '../../server/workspace.ts';
import type { Analysis } from '../../shared/analysis.ts';
import { folded } from '../../shared/checks/folded.ts';
import { analysed, edited, editor, emptyWorkspace, wholeText } from './marked.ts';

const complete = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');

/** A window without a file on disk. */
const workspace = new Workspace({ read: () => undefined });

function outermost(selection: SelectionRange): Range {
  return selection.parent ? outermost(selection.parent) : selection.range;
}

/** Sends the requests of an editor at a position. */
function askAt(analysis: Analysis, offset: number): void {
  const position = analysis.file.lines.position(offset);
  const context = { includeDeclaration: true };
  expect(definitionAt(analysis, { position }, editor, workspace)).toBeDefined();
  expect(referencesAt(analysis, { position, context }, editor, workspace)).toBeDefined();
  expect(highlightsAt(analysis, { position })).toBeDefined();
  if (renameableAt(analysis, { position })) {
    expect(renameAt(analysis, { position, newName: 'fuel_flow' }, editor, workspace)).toBeDefined();
  }
  const whole = outermost(selectionRangeAt(analysis.file, position));
  expect(analysis.file.lines.offset(whole.end)).toBe(analysis.file.text.length);
  expect(hoverAt(analysis, { position })).toBeDefined();
  expect(completionAt(analysis, { position }, editor, emptyWorkspace)).toBeInstanceOf(Array);
}

/** Sends the requests of an editor about the whole text. */
function askOnce(analysis: Analysis): void {
  const textDocument = { uri: editor.uriOf(analysis.file.path) };
  const params = { textDocument, range: wholeText, context: { diagnostics: [] } };
  expect(inlayHintsIn(analysis, params, editor)).toBeInstanceOf(Array);
  expect(codeActionsFor(analysis, params, editor)).toBeInstanceOf(Array);
  expect(diagnosticsOf(analysis, editor)).toHaveLength(folded(analysis.findings).length);
  expect(symbolsOf(analysis)).toBeInstanceOf(Array);
  expect(foldingRangesIn(analysis).every(({ startLine, endLine }) => startLine < endLine)).toBe(true);
  expect(linksIn(analysis, editor)).toBeInstanceOf(Array);
  expect(lensesIn(analysis, editor, workspace)).toBeInstanceOf(Array);
  expect(tokensOf(analysis).data.length % 5).toBe(0);
  // What is sent must be what is meant: neither infinite nor undefined.
  const view = installationViewOf(analysis, editor);
  expect(JSON.parse(JSON.stringify(view))).toStrictEqual(view);
  const formatted = edited(analysis, formattingOf(analysis));
  expect(formatted.replaceAll(/[ \t]/g, '')).toBe(analysis.file.text.replaceAll(/[ \t]/g, ''));
}

describe('every feature answers', () => {
  test('while the complete installation is being typed', () => {
    for (let length = 0; length < complete.length; length += 211) {
      const analysis = analysed(complete.slice(0, length), 'typed.engine.yaml');
      askAt(analysis, length);
      askOnce(analysis);
    }
  });

  test('at any place of it', () => {
    const analysis = analysed(complete, 'whole.engine.yaml');
    for (let offset = 0; offset < complete.length; offset += 101) askAt(analysis, offset);
  });

  test.each([
    '',
    '\0',
    '[',
    '- a\n- b\n',
    'engine: &e\n  bore: *e\n',
    'engine: {{{{\n',
    'fuel:\n  rail: [1, {a: 2}]\n',
    'engine:\n\tbore: 84 mm\n',
    'operating_points: { "": {}, p: [], q: { speed: } }\n',
    '"quoted \\u0041 key": 1\n',
    'title: |\n  two\n  lines\n',
    'title: "😀 🛩" # 😀\nengine: { bore: 84 mm }\n',
    '? [complex]\n: 1\n',
    'engine: {\r\n bore: 84 mm }\r\n',
  ])('about %j', (text) => {
    const analysis = analysed(text, 'broken.engine.yaml');
    for (let offset = 0; offset <= text.length; offset++) askAt(analysis, offset);
    askOnce(analysis);
  });
});
