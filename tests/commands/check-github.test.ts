import { expect, test } from 'vitest';
import { checkGithub } from '../../server/formats/check-github.ts';
import type { CheckReport } from '../../server/formats/check-report.ts';
import { styleOf } from '../../server/terminal.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { Written } from '../support/report.ts';

const paper = { width: 60, style: styleOf(false) };
const tow = new Written('enginefile: 1\nengine:\n  bore: 76 mm\n');

const written = (report: CheckReport) => checkGithub.write(report, paper);

test('a finding is a command with its place, lines and columns from 1', () => {
  const report = tow.report([tow.finding('76 mm', { rule: 'bore-odd', severity: 'warning' })]);
  expect(written(report)).toBe(
    '::warning file=/shop/tow.engine.yaml,line=3,endLine=3,col=9,endColumn=13,title=bore-odd::A message.\n',
  );
});

test('what is only worth knowing is a notice', () => {
  const report = tow.report([
    tow.finding('76', { severity: 'information' }),
    tow.finding('76', { severity: 'hint' }),
  ]);
  expect(written(report).match(/^::notice /gm)).toHaveLength(2);
});

test('a stretch of many lines has no end column', () => {
  const report = tow.report([tow.finding('engine:\n  bore: 76 mm')]);
  expect(written(report)).toContain('line=2,endLine=3,col=1,title=a-rule::');
});

test('no text can end its command, begin another or add a property', () => {
  const odd = new Written('a: 1\n', '/shop/50%,title=x:y.engine.yaml');
  const message = '100 % of it,\n::error::not a command\r\x1b[31m';
  const [line, ...more] = written(odd.report([odd.finding('1', { message })])).split('\n');
  expect(more).toEqual(['']);
  expect(line).toContain('file=/shop/50%25%2Ctitle=x%3Ay.engine.yaml,');
  expect(line).toMatch(/::100 %25 of it,%0A::error::not a command\ufffd\ufffd\[31m$/);
});

test('related places follow the message', () => {
  const related = [{ file: tow.path, start: 14, end: 20, message: 'Here too.' }];
  const report = tow.report([tow.finding('76 mm', { related })]);
  expect(written(report)).toMatch(/::A message\.%0Asee \/shop\/tow\.engine\.yaml:2: Here too\.\n$/);
});

test('files are named from the working folder, and what could not be read is an error', async () => {
  const folder = folderOf({ 'x.engine.yaml': 'enginefile: 9\n' });
  const { status, out } = await enginewright('check', '--format', 'github', folder, 'gone.engine.yaml');
  expect(status).toBe(2);
  expect(out).toMatch(/^::error file=.*x\.engine\.yaml,line=1,/m);
  expect(out).toContain('::error title=not checked::Cannot read gone.engine.yaml: no such file');
});
