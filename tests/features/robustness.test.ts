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

/** Asks what an editor asks where the cursor or the pointer is. */
function askAt(analysis: Analysis, offset: number): void {
  const position = analysis.file.lines.position(offset);
  expect(hoverAt(analysis, { position })).toBeDefined();
  expect(completionAt(analysis, { position }, editor)).toBeInstanceOf(Array);
}

/** Asks what an editor asks about the whole text. */
function askOnce(analysis: Analysis): void {
  const textDocument = { uri: editor.uriOf(analysis.file.path) };
  const params = { textDocument, range: wholeText, context: { diagnostics: [] } };
  expect(inlayHintsIn(analysis, params)).toBeInstanceOf(Array);
  expect(codeActionsFor(analysis, params, editor)).toBeInstanceOf(Array);
  expect(diagnosticsOf(analysis, editor)).toHaveLength(analysis.findings.length);
  expect(symbolsOf(analysis)).toBeInstanceOf(Array);
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
