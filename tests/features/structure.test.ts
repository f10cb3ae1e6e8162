import { describe, expect, test } from 'vitest';
import { FoldingRangeKind, type SelectionRange } from 'vscode-languageserver/node';
import { linksIn } from '../../server/features/document-links.ts';
import { foldingRangesIn } from '../../server/features/folding.ts';
import { selectionRangeAt } from '../../server/features/selection-ranges.ts';
import { workspaceSymbolsIn } from '../../server/features/workspace-symbols.ts';
import { analysed, editor, marked } from './marked.ts';
import { shop } from './shop.ts';

describe('folding', () => {
  test('takes keys with lines below them, and comments of many lines', () => {
    const text = `# Invented,
# no advice.
engine:
  bore: 84 mm
  # alone

fuel:
  lambda:
    values:
      - [1, 2]
      - [3, 4]
    # of the table
sensors: { oil: {
  pin: A1 } }
`;
    expect(foldingRangesIn(analysed(text))).toEqual([
      { startLine: 2, endLine: 3 },
      { startLine: 6, endLine: 10 },
      { startLine: 7, endLine: 10 },
      { startLine: 8, endLine: 10 },
      { startLine: 12, endLine: 13 },
      { startLine: 12, endLine: 13 },
      { startLine: 0, endLine: 1, kind: FoldingRangeKind.Comment },
    ]);
  });

  test('takes no comment for what stands in a text, and no alias for what it repeats', () => {
    const text = 'title: |\n  # no\n  # comment\nengine: &e\n  bore: 84 mm\nfuel: *e\n';
    expect(foldingRangesIn(analysed(text))).toEqual([
      { startLine: 0, endLine: 2 },
      { startLine: 3, endLine: 4 },
    ]);
  });
});

/** The growing selection: the text of each step on one line. */
function steps(text: string): string[] {
  const { analysis, position } = marked(text);
  const { file } = analysis;
  const texts: string[] = [];
  let at: SelectionRange | undefined = selectionRangeAt(file, position);
  for (; at; at = at.parent) {
    const { start, end } = at.range;
    texts.push(
      file.text.slice(file.lines.offset(start), file.lines.offset(end)).replaceAll(/\s+/g, ' ').trim(),
    );
  }
  return texts;
}

describe('selection grows', () => {
  test('from the cell over its row, the rows and the table to the section', () => {
    expect(
      steps(`title: x
fuel:
  grade: e85
  target_lambda:
    unit: "%"
    values:
      - [1.00, 0.9$08] # light
      - [0.95, 0.90]
    # below
# of the file
`),
    ).toEqual([
      '0.98',
      '[1.00, 0.98]',
      '- [1.00, 0.98] # light - [0.95, 0.90]',
      'values: - [1.00, 0.98] # light - [0.95, 0.90]',
      'unit: "%" values: - [1.00, 0.98] # light - [0.95, 0.90]',
      'target_lambda: unit: "%" values: - [1.00, 0.98] # light - [0.95, 0.90]',
      'grade: e85 target_lambda: unit: "%" values: - [1.00, 0.98] # light - [0.95, 0.90]',
      'fuel: grade: e85 target_lambda: unit: "%" values: - [1.00, 0.98] # light - [0.95, 0.90]',
      'title: x fuel: grade: e85 target_lambda: unit: "%" values: - [1.00, 0.98] # light - [0.95, 0.90] # below # of the file',
    ]);
  });

  test('from a key to its entry and on, in a section that is too long to be read in one piece', () => {
    const filler = Array.from({ length: 30 }, (_, i) => `  # line ${i}\n  key_${i}: ${i}\n`).join('');
    const grown = steps(`engine:\n${filler}  bo$0re: 84 mm\ntitle: x\n`);
    expect(grown.slice(0, 2)).toEqual(['bore', 'bore: 84 mm']);
    expect(grown[2]).toMatch(/^key_0: 0 .* bore: 84 mm$/);
    expect(grown[3]).toMatch(/^engine: # line 0 key_0: 0 .* bore: 84 mm$/);
    expect(grown).toHaveLength(5);
  });

  test('to the file at once where nothing stands', () => {
    expect(steps('# com$0ment\n')).toEqual(['# comment']);
    expect(steps('$0')).toEqual(['']);
  });
});

test('links lead to the files that a file names, and not to what is no such file', () => {
  const analysis = analysed(
    'based_on: ../base.engine.yaml\ncontroller: ./unit.engine.yaml\n',
    'a.engine.yaml',
  );
  expect(linksIn(analysis, editor)).toEqual([
    {
      range: { start: { line: 0, character: 10 }, end: { line: 0, character: 29 } },
      target: 'file:///base.engine.yaml',
      tooltip: 'Open engine file',
    },
  ]);
});

describe('symbols of the workspace', () => {
  const { workspace } = shop(`#-- tug.engine.yaml
$0controller: ./unit.controller.yaml
sensors: { oil_pressure: {}, crank: {} }
#-- unit.controller.yaml
pins: { A7: { role: analog-input } }
`);
  const found = (query: string) =>
    workspace
      .paths()
      .flatMap((path) => workspaceSymbolsIn(path, { query }, editor, workspace))
      .map(({ name, containerName }) => `${containerName} ${name}`);

  test('are found by the letters of their names, in files that are not open too', () => {
    expect(found('olpr')).toEqual(['tug.engine.yaml.sensors oil_pressure']);
    expect(found('a7')).toEqual(['unit.controller.yaml.pins A7']);
    expect(found('xyz')).toEqual([]);
  });

  test('are all of them without a query', () => {
    expect(found('')).toEqual([
      'tug.engine.yaml sensors',
      'tug.engine.yaml.sensors oil_pressure',
      'tug.engine.yaml.sensors crank',
      'unit.controller.yaml pins',
      'unit.controller.yaml.pins A7',
    ]);
  });
});
