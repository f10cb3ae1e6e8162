import { describe, expect, test } from 'vitest';
import {
  type CodeAction,
  CodeActionKind,
  type TextDocumentEdit,
  type TextEdit,
} from 'vscode-languageserver/node';
import { codeActionsFor } from '../../server/features/code-actions.ts';
import { diagnosticsOf } from '../../server/features/diagnostics.ts';
import type { Analysis } from '../../shared/analysis.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { analysed, edited, editor, OVERLAY, plainEditor, wholeText } from './marked.ts';

const TEXT = `${OVERLAY}engine:\n  bore: 84 mm\n  stroke: 55 mm\n`;

interface Made {
  readonly at: string;
  readonly rule?: string;
  readonly fixes?: readonly { title: string; safety: 'safe' | 'choice'; put: string }[];
}

/** The analysis of the text with invented findings, so that these tests do not depend on any one check. */
function withFindings(...made: readonly Made[]): Analysis {
  const analysis = analysed(TEXT);
  const findings = made.map(({ at, rule = 'unit-unknown', fixes = [] }): Finding => {
    const start = TEXT.indexOf(at);
    const place = { file: analysis.file.path, start, end: start + at.length };
    return {
      ...place,
      rule,
      severity: 'warning',
      message: `About ${at}.`,
      path: 'engine',
      related: [{ ...place, message: 'See also.' }],
      fixes: fixes.map(({ title, safety, put }) => ({ title, safety, edits: [{ ...place, text: put }] })),
    };
  });
  return { ...analysis, findings };
}

function actions(analysis: Analysis, only?: string[], range = wholeText, by = editor): CodeAction[] {
  const uri = by.uriOf(analysis.file.path);
  const context = { diagnostics: [], ...(only && { only }) };
  return codeActionsFor(analysis, { textDocument: { uri }, range, context }, by);
}

function after(analysis: Analysis, action: CodeAction): string {
  const [edits] = Object.values(action.edit!.changes!);
  return edited(analysis, edits as TextEdit[]).replace(OVERLAY, '');
}

const IN_CM = { title: 'Write 8.4 cm', safety: 'safe', put: '8.4 cm' } as const;
const LONGER = { title: 'Write 60 mm', safety: 'choice', put: '60 mm' } as const;

describe('a quick fix', () => {
  test('changes what it names and nothing else', () => {
    const analysis = withFindings({ at: '84 mm', fixes: [IN_CM] });
    const [fix] = actions(analysis, [CodeActionKind.QuickFix]);
    expect(fix).toMatchObject({ title: 'Write 8.4 cm', isPreferred: true });
    expect(after(analysis, fix!)).toBe('engine:\n  bore: 8.4 cm\n  stroke: 55 mm\n');
  });

  test('is offered at its finding only', () => {
    const analysis = withFindings({ at: '84 mm', fixes: [IN_CM] }, { at: '55 mm', fixes: [LONGER] });
    const range = { start: { line: 3, character: 12 }, end: { line: 3, character: 12 } };
    expect(actions(analysis, undefined, range).map(({ title }) => title)).toEqual([
      'Write 60 mm',
      'Accept unit-unknown with a reason…',
    ]);
  });

  test('is preferred only where it keeps the meaning and stands alone', () => {
    const preferred = (...fixes: NonNullable<Made['fixes']>) =>
      actions(withFindings({ at: '84 mm', fixes })).filter(({ isPreferred }) => isPreferred).length;
    expect(preferred(IN_CM, LONGER)).toBe(1);
    expect(preferred(LONGER)).toBe(0);
    expect(preferred(IN_CM, { ...IN_CM, title: 'Another' })).toBe(0);
  });
});

describe('accepting a finding', () => {
  const analysis = withFindings({ at: '55 mm', rule: 'suspicious-magnitude' });
  const accept = (by = editor) =>
    actions(analysis, undefined, wholeText, by).find(({ title }) => title.startsWith('Accept'))!;

  test('writes the comment above the line and leaves the reason to type', () => {
    const [change] = accept().edit!.documentChanges as TextDocumentEdit[];
    expect(change!.edits).toEqual([
      {
        range: { start: { line: 3, character: 2 }, end: { line: 3, character: 2 } },
        snippet: { kind: 'snippet', value: '# accept suspicious-magnitude: $0\n  ' },
      },
    ]);
  });

  test('is plain text for an editor without snippets', () => {
    expect(after(analysis, accept(plainEditor))).toBe(
      'engine:\n  bore: 84 mm\n  # accept suspicious-magnitude: \n  stroke: 55 mm\n',
    );
  });

  test('of what stands in the base is offered here, where this file brings it about, and there', () => {
    const [finding] = analysis.findings;
    const base = analysis.files[1]!;
    const writtenAt = {
      file: base.path,
      start: base.text.indexOf('stroke'),
      end: base.text.indexOf('55 mm'),
    };
    const inBase = { ...analysis, findings: [{ ...finding!, writtenAt }] };
    const offered = actions(inBase, undefined, wholeText, plainEditor);
    expect(offered.map(({ title, edit }) => [title, ...Object.keys(edit!.changes!)])).toEqual([
      ['Accept suspicious-magnitude with a reason…', plainEditor.uriOf(analysis.file.path)],
      ['Accept suspicious-magnitude with a reason in complete.engine.yaml…', plainEditor.uriOf(base.path)],
    ]);
  });

  test('is not offered where the comment stands already and lacks its reason alone', () => {
    const titles = (comment: string) => {
      const text = `engine:\n  ${comment}\n  # the stock crank\n  bore: 4 mm\n`;
      const found = analysed(text).findings.filter(({ rule }) => rule === 'suspicious-magnitude');
      expect(found).toHaveLength(1);
      return actions(analysed(text)).flatMap(({ title }) =>
        title.startsWith('Accept suspicious') ? [title] : [],
      );
    };
    expect(titles('# accept suspicious-magnitude:')).toEqual([]);
    expect(titles('# accept pump-margin:')).toEqual(['Accept suspicious-magnitude with a reason…']);
  });

  test('is not offered for what cannot be read', () => {
    expect(actions(withFindings({ at: '84 mm', rule: 'syntax-error' }))).toEqual([]);
  });
});

describe('fixing all', () => {
  test('applies safe fixes, and of two in one place the first', () => {
    const analysis = withFindings(
      { at: '84 mm', fixes: [IN_CM] },
      { at: 'mm', fixes: [{ title: 'Write in', safety: 'safe', put: 'in' }] },
      { at: '55 mm', fixes: [LONGER] },
    );
    const [all, ...more] = actions(analysis, [CodeActionKind.SourceFixAll]);
    expect(more).toEqual([]);
    expect(after(analysis, all!)).toBe('engine:\n  bore: 8.4 cm\n  stroke: 55 mm\n');
  });

  test('is offered only where it is asked for', () => {
    const analysis = withFindings({ at: '84 mm', fixes: [IN_CM] });
    expect(actions(analysis).map(({ kind }) => kind)).not.toContain('source.fixAll.enginewright');
    expect(actions(withFindings({ at: '84 mm' }), [CodeActionKind.SourceFixAll])).toEqual([]);
  });
});

describe('a diagnostic', () => {
  test('carries its rule, its place and what is related', () => {
    const [found] = diagnosticsOf(withFindings({ at: '55 mm', rule: 'injector-duty-high' }), editor);
    expect(found).toMatchObject({
      code: 'injector-duty-high',
      source: 'enginewright',
      message: 'About 55 mm.',
      range: { start: { line: 3, character: 10 }, end: { line: 3, character: 15 } },
      codeDescription: { href: 'check-page:/injector-duty-high.md' },
      relatedInformation: [{ message: 'See also.', location: { range: { start: { line: 3 } } } }],
    });
  });

  test('leads to a page only where the editor shows pages', () => {
    const [found] = diagnosticsOf(withFindings({ at: '55 mm', rule: 'injector-duty-high' }), plainEditor);
    expect(found!.codeDescription).toBeUndefined();
  });
});
