import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { CheckReport } from '../../server/formats/check-report.ts';
import { checkSarif } from '../../server/formats/check-sarif.ts';
import { styleOf } from '../../server/terminal.ts';
import { checkPage } from '../../shared/checks/page.ts';
import { checkNamed } from '../../shared/checks/registry.ts';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';
import { Written } from '../support/report.ts';
import { type SarifLog, type SarifResult, sarifFaults } from '../support/sarif.ts';

const paper = { width: 60, style: styleOf(false) };
const tow = new Written('enginefile: 1\nengine:\n  bore: 76 mm # 😀 wide\n  stroke: 6 mm\n');

function runOf(report: CheckReport) {
  const log = JSON.parse(checkSarif.write(report, paper)) as SarifLog;
  expect(sarifFaults(log)).toEqual([]);
  return log.runs[0];
}

function resultsOf(findings: Parameters<Written['report']>[0]): readonly SarifResult[] {
  return runOf(tow.report(findings)).results;
}

test('a real report is valid, and every rule brings its page', async () => {
  const folder = folderOf({
    'a.engine.yaml': completeEngine.replace('static_flow: 340', 'static_flow: 120'),
    'b.engine.yaml': 'based_on: ./a.engine.yaml\nenginefile: 1\nengine: { idle_sped: 900 rpm }\n',
    'complete.controller.yaml': completeController,
  });
  const { status, out } = await enginewright('check', '--format', 'sarif', folder);
  expect(status).toBe(1);
  const log = JSON.parse(out) as SarifLog;
  expect(sarifFaults(log)).toEqual([]);
  const [{ tool, results }] = log.runs;
  const rules = tool.driver.rules;
  expect(rules.map(({ id }) => id)).toEqual(
    expect.arrayContaining(['injector-duty-over-100', 'unknown-key']),
  );
  for (const rule of rules) {
    expect(rule).toMatchObject({ help: { markdown: checkPage(checkNamed(rule.id)!) } });
  }
  for (const result of results) expect(rules[result.ruleIndex]!.id).toBe(result.ruleId);
  const unknown = results.find(({ ruleId }) => ruleId === 'unknown-key');
  expect(unknown).toMatchObject({
    fixes: [{ description: { text: expect.stringContaining('idle_speed') } }],
  });
});

test('the schema would have refused something else', () => {
  const log = JSON.parse(checkSarif.write(tow.report([tow.finding('bore')]), paper));
  log.runs[0].results[0].level = 'fatal';
  expect(sarifFaults(log).join()).toContain('/runs/0/results/0/level');
});

test('a place has lines and columns from 1 in UTF-16, its key, and related places', () => {
  const related = [{ file: tow.path, start: 14, end: 20, message: 'Here too.' }];
  const finding = tow.finding('wide', { path: 'engine.bore', related });
  const run = runOf(tow.report([finding]));
  expect(run.columnKind).toBe('utf16CodeUnits');
  expect(run.results[0]).toMatchObject({
    level: 'error',
    message: { text: 'A message.' },
    locations: [
      {
        physicalLocation: {
          artifactLocation: { uri: 'file:///shop/tow.engine.yaml' },
          region: { startLine: 3, startColumn: 20, endLine: 3, endColumn: 24 },
        },
        logicalLocations: [{ fullyQualifiedName: 'engine.bore' }],
      },
    ],
    relatedLocations: [{ message: { text: 'Here too.' }, physicalLocation: { region: { startLine: 2 } } }],
  });
});

test('a file below the working folder has a relative address, with what an address forbids escaped', () => {
  const path = join(process.cwd(), 'my files', '50 %.engine.yaml');
  const odd = new Written('a: 1\n', path);
  expect(runOf(odd.report([odd.finding('1')])).results[0]).toMatchObject({
    locations: [
      {
        physicalLocation: {
          artifactLocation: { uri: 'my%20files/50%20%25.engine.yaml', uriBaseId: '%SRCROOT%' },
        },
      },
    ],
  });
});

test('a fix is what it replaces and what comes in its place', () => {
  const at = tow.text.indexOf('6 mm');
  const edits = [{ file: tow.path, start: at + 14, end: at + 18, text: '60 mm' }];
  const stroke = tow.text.indexOf(' 6 mm') + 1;
  const fix = {
    title: 'Write 60 mm',
    safety: 'choice',
    edits: [{ ...edits[0]!, start: stroke, end: stroke + 4 }],
  };
  const [result] = resultsOf([tow.finding('stroke', { fixes: [fix as never] })]);
  expect(result).toMatchObject({
    fixes: [
      {
        description: { text: 'Write 60 mm' },
        artifactChanges: [
          {
            replacements: [
              {
                deletedRegion: { startLine: 4, startColumn: 11, endLine: 4, endColumn: 15 },
                insertedContent: { text: '60 mm' },
              },
            ],
          },
        ],
      },
    ],
  });
});

test('severities become levels', () => {
  const severities = ['error', 'warning', 'information', 'hint'] as const;
  const levels = resultsOf(severities.map((severity) => tow.finding('bore', { severity })));
  expect(levels.map(({ level }) => level)).toEqual(['error', 'warning', 'note', 'note']);
});

test('what is accepted or known is there, suppressed', () => {
  const [fresh, known, accepted] = ['bore', '76 mm', 'stroke'].map((of) => tow.finding(of));
  const { analysis } = tow.checked([fresh!], { known: [known!] });
  const checked = { ...analysis, accepted: [{ finding: accepted!, reason: 'Flow bench report 12' }] };
  const { results } = runOf({ files: [{ name: tow.path, analysis: checked, known: [known!] }] });
  expect(results).toMatchObject([
    { baselineState: 'new' },
    { baselineState: 'unchanged', suppressions: [{ kind: 'external' }] },
    { suppressions: [{ kind: 'inSource', justification: 'Flow bench report 12' }] },
  ]);
  expect(results[0]).not.toHaveProperty('suppressions');
});

test('fingerprints outlast lines that move and differ between findings', () => {
  const print = (one: Written) =>
    runOf(one.report([one.finding('76 mm'), one.finding('76 mm')])).results.map(
      ({ partialFingerprints }) => partialFingerprints['enginewright/v1'],
    );
  const [first, second] = print(tow);
  expect(first).not.toBe(second);
  expect(print(new Written(`# moved\n${tow.text}`))).toEqual([first, second]);
  expect(print(new Written(tow.text.replace('6 mm #', '6 mm  #')))).toEqual([first, second]);
});

test('a run that could not read everything says so', async () => {
  const { status, out } = await enginewright('check', '--format', 'sarif', 'gone.engine.yaml');
  expect(status).toBe(2);
  const log = JSON.parse(out) as SarifLog;
  expect(sarifFaults(log)).toEqual([]);
  expect(log.runs[0].invocations).toMatchObject([
    {
      executionSuccessful: false,
      toolExecutionNotifications: [{ message: { text: expect.stringContaining('gone.engine.yaml') } }],
    },
  ]);
});
