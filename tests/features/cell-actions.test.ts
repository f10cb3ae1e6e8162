import { describe, expect, test } from 'vitest';
import type { CodeAction, Range, TextEdit } from 'vscode-languageserver/node';
import type { Editor } from '../../server/editor.ts';
import { cellActionsFor } from '../../server/features/cell-actions.ts';
import { cellChangeOf, cellPromptOf } from '../../server/features/cell-change.ts';
import type { Analysis } from '../../shared/analysis.ts';
import { mapText } from '../tables/drawn.ts';
import { analysed, edited, plainEditor } from './marked.ts';

const asking: Editor = { ...plainEditor, asksNumbers: true };

/** A text with the selection between `$[` and `]$`. */
function selected(text: string): { analysis: Analysis; range: Range } {
  const start = text.indexOf('$[');
  const end = text.indexOf(']$') - 2;
  const analysis = analysed(text.replace('$[', '').replace(']$', ''));
  const { lines } = analysis.file;
  return { analysis, range: { start: lines.position(start), end: lines.position(end) } };
}

function actions(text: string, editor = plainEditor, only?: string[]): CodeAction[] {
  const { analysis, range } = selected(text);
  const textDocument = { uri: editor.uriOf(analysis.file.path) };
  return cellActionsFor(
    analysis,
    { textDocument, range, context: { diagnostics: [], ...(only && { only }) } },
    editor,
  );
}

const titles = (...asked: Parameters<typeof actions>): string[] =>
  actions(...asked).map(({ title }) => title);

const CELLS = mapText('[50, $[51, 52]\n[60, 69, 62]\n[70, 71, 72]$]');
const AXIS = mapText('[50, 51, 52]\n[60, 69, 62]\n[70, 71, 72]').replace('80, 100]', '$[]$80, 100]');

describe('cells', () => {
  test('can be worked on where they are selected, the largest change in the title', () => {
    expect(titles(CELLS)).toEqual([
      'Fill 6 cells between the corners (largest change −5 points at 2000 rpm, 80 kPa abs (69 → 64), rounded to the nearest 1)',
      'Smooth 6 cells (largest change −3 points at 2000 rpm, 80 kPa abs (69 → 66), rounded to the nearest 1)',
      'Convert volumetric efficiency to plain numbers (exact)',
    ]);
  });

  test('are set, raised and scaled where the editor can ask for the number', () => {
    const asked = actions(CELLS, asking).filter(({ title }) => title.endsWith('…'));
    expect(asked.map(({ title }) => title)).toEqual(['Set cells…', 'Add to cells…', 'Scale cells…']);
    expect(asked[0]!.command).toMatchObject({
      command: 'enginewright.changeCells',
      arguments: [{ kind: 'set' }, expect.stringMatching(/^file:/), [{ start: { line: 6, character: 13 } }]],
    });
  });

  test('are left alone where only fixes are asked for', () => {
    expect(titles(CELLS, asking, ['quickfix'])).toEqual([]);
    expect(titles(CELLS, asking, ['refactor'])).not.toEqual([]);
  });
});

describe('breakpoints', () => {
  test('come and go with their row, and are converted', () => {
    expect(titles(AXIS)).toEqual([
      'Insert manifold pressure 90 kPa abs with an interpolated row (no values change)',
      'Delete manifold pressure 80 kPa abs and its row (largest change −4.67 points at 2000 rpm, 80 kPa abs (69 → 64.3333))',
      'Convert manifold pressure to bar abs (exact)',
      'Convert manifold pressure to psi abs (rounded by at most 0.0005 psi)',
      'Convert manifold pressure to inHg abs (rounded by at most 0.00002 inHg)',
      'Convert manifold pressure to kPa gauge at 101.325 kPa abs (rounded by at most 0.005 kPa; valid only at this ambient pressure)',
    ]);
  });

  test('change by an edit that keeps the rest of the text', () => {
    const { analysis } = selected(AXIS);
    const [insert] = actions(AXIS);
    const [edits] = Object.values(insert!.edit!.changes!) as TextEdit[][];
    expect(edited(analysis, edits!)).toBe(
      mapText('[50, 51, 52]\n[60, 69, 62]\n[65, 70, 67]\n[70, 71, 72]', undefined, '40, 80, 90, 100'),
    );
  });
});

test('a single value is converted, also at a stated ambient pressure', () => {
  expect(titles('boost: { overboost_cut: $[]$175 kPa abs }\n')).toEqual([
    'Convert to 1.75 bar abs (exact)',
    'Convert to 25.382 psi abs (rounded by at most 0.0004 psi)',
    'Convert to 51.68 inHg abs (rounded by at most 0.003 inHg)',
    'Convert to 73.67 kPa gauge at 101.325 kPa abs (rounded by at most 0.005 kPa; valid only at this ambient pressure)',
  ]);
  expect(titles('boost: { overboost_cut: $[]$175 kPa abs }\n', asking).at(-1)).toBe(
    'Convert to kPa gauge at a given ambient pressure…',
  );
});

describe('the questions behind the commands', () => {
  const at = (text: string) => {
    const { analysis, range } = selected(text);
    const asked = { textDocument: { uri: '' }, selections: [range] };
    return { analysis, asked };
  };

  test('say what is asked, and begin with what stands there', () => {
    const { analysis, asked } = at(CELLS);
    expect(cellPromptOf(analysis, { ...asked, kind: 'set' })).toEqual({
      prompt: 'New value for 6 cells, in %',
      answer: '51',
    });
    expect(cellPromptOf(analysis, { ...asked, kind: 'add' })).toEqual({
      prompt: 'Amount to add to 6 cells, in points, such as 2 or -0.5',
      answer: '',
    });
    expect(cellPromptOf(analysis, { ...asked, kind: 'resample', axis: 'x' })).toEqual({
      prompt: 'New breakpoints of engine speed, in rpm',
      answer: '1000 2000 4000',
    });
    expect(cellPromptOf(analysis, { ...asked, kind: 'insert' })).toEqual({
      refusal: 'Put the cursor on a breakpoint first.',
    });
  });

  test('are answered with edits, a summary and what becomes of each cell', () => {
    const { analysis, asked } = at(mapText('[50, $[51]$, 52]\n[60, 61, 62]\n[70, 71, 72]'));
    expect(cellChangeOf(analysis, { ...asked, work: { kind: 'add', text: '2' } })).toEqual({
      title: 'Raise 1 cell by 2 points',
      summary: 'largest change +2 points at 2000 rpm, 40 kPa abs (51 → 53)',
      edits: [
        { range: { start: { line: 6, character: 13 }, end: { line: 6, character: 15 } }, newText: '53' },
      ],
      cells: [
        { range: { start: { line: 6, character: 13 }, end: { line: 6, character: 15 } }, newText: '53' },
      ],
    });
  });

  test('are refused in words', () => {
    const { analysis, asked } = at('engine: { bore: $[]$84 mm }\n');
    expect(cellChangeOf(analysis, { ...asked, work: { kind: 'smooth' } })).toEqual({
      refusal: 'Select cells of a curve or map first.',
    });
    expect(cellChangeOf(analysis, { ...asked, work: { kind: 'reference', text: '1 bar' } })).toEqual({
      refusal: 'Enter an absolute pressure, such as 101.325 kPa abs.',
    });
  });
});
