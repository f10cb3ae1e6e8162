import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { codeActionsFor } from '../../server/features/code-actions.ts';
import { completionAt } from '../../server/features/completion/completion.ts';
import { diagnosticsOf } from '../../server/features/diagnostics.ts';
import { symbolsOf } from '../../server/features/document-symbols.ts';
import { hoverAt } from '../../server/features/hover.ts';
import { inlayHintsIn } from '../../server/features/inlay-hints.ts';
import type { Analysis } from '../../shared/analysis.ts';
import { analysed, editor, wholeText } from './marked.ts';

const complete = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');

/** Asks everything that an editor can ask about a place. */
function askAll(analysis: Analysis, offset: number): number {
  const position = analysis.file.lines.position(offset);
  const textDocument = { uri: editor.uriOf(analysis.file.path) };
  return [
    hoverAt(analysis, { position }),
    completionAt(analysis, { position }, editor),
    inlayHintsIn(analysis, { range: wholeText }),
    codeActionsFor(analysis, { textDocument, range: wholeText, context: { diagnostics: [] } }, editor),
    diagnosticsOf(analysis, editor),
    symbolsOf(analysis),
  ].filter((answer) => answer !== null).length;
}

describe('every feature answers', () => {
  test('while the complete installation is being typed', () => {
    for (let length = 0; length < complete.length; length += 97) {
      expect(askAll(analysed(complete.slice(0, length), 'typed.engine.yaml'), length)).toBeGreaterThanOrEqual(
        5,
      );
    }
  });

  test('at any place of it', () => {
    const analysis = analysed(complete, 'whole.engine.yaml');
    for (let offset = 0; offset < complete.length; offset += 53) {
      expect(askAll(analysis, offset)).toBeGreaterThanOrEqual(5);
    }
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
    for (let offset = 0; offset <= text.length; offset++)
      expect(askAll(analysis, offset)).toBeGreaterThanOrEqual(5);
  });
});
