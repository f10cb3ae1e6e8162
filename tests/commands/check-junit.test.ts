import { describe, expect, test } from 'vitest';
import { checkJunit } from '../../server/formats/check-junit.ts';
import { styleOf } from '../../server/terminal.ts';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';
import { junitSchemas, xmlFaults } from '../support/junit.ts';
import { Written } from '../support/report.ts';

const paper = { width: 60, style: styleOf(false) };
const tow = new Written('enginefile: 1\nengine:\n  bore: 76 mm\n');

// The validator is a separate program that is slow to start.
describe.each(junitSchemas)('the schema %s', (name, schema) => {
  test('takes a report with failures, remarks, hostile words and unread files', async () => {
    const words = 'a < b && "c" ]]> \u0000\u001b\ufffe \ud800 <x a=\'1\'>\n&#0; ü 漢';
    const warning = tow.finding('76 mm', { severity: 'warning', message: words });
    const file = tow.checked([warning, tow.finding('bore', { message: words, rule: 'odd-"rule"<' })], {
      known: [tow.finding('engine', { message: words })],
    });
    const xml = checkJunit.write({ files: [file, tow.checked([])], problems: [words] }, paper);
    expect(await xmlFaults(xml, schema)).toEqual([]);
  });

  test('takes a real report', async () => {
    const folder = folderOf({
      'a.engine.yaml': completeEngine.replace('static_flow: 340', 'static_flow: 120'),
      'complete.controller.yaml': completeController,
    });
    const { status, out } = await enginewright('check', '--format', 'junit', folder);
    expect(status).toBe(1);
    expect(out).toContain('<failure message="');
    expect(await xmlFaults(out, schema)).toEqual([]);
  });

  test('would have refused something else', async () => {
    const xml = checkJunit.write(tow.report([]), paper).replace('<testcase ', '<case ');
    expect(await xmlFaults(xml, schema), name).not.toEqual([]);
  });
});

describe('the cases', () => {
  const both = [tow.finding('bore'), tow.finding('76 mm', { severity: 'warning' })];

  test('fail where the run fails, and the counts say so', () => {
    const xml = checkJunit.write(tow.report(both), paper);
    expect(xml).toContain('tests="2" failures="1" errors="0"');
    expect(xml.match(/<failure/g)).toHaveLength(1);
    const strict = checkJunit.write(tow.report(both, { failing: ['error', 'warning'] }), paper);
    expect(strict).toContain('tests="2" failures="2" errors="0"');
  });

  test('of a file without findings are one that passes', () => {
    const xml = checkJunit.write(tow.report([]), paper);
    expect(xml).toContain('tests="1" failures="0"');
    expect(xml).toContain('<testcase name="no findings" classname="/shop/tow.engine.yaml" time="0"/>');
  });

  test('at one place and of one check have names of their own', () => {
    const xml = checkJunit.write(tow.report([tow.finding('bore'), tow.finding('bore')]), paper);
    expect(xml).toContain('name="a-rule at /shop/tow.engine.yaml:3:3"');
    expect(xml).toContain('name="a-rule at /shop/tow.engine.yaml:3:3 (2)"');
  });

  test('stand for files that could not be read, as errors', async () => {
    const { status, out } = await enginewright('check', '--format', 'junit', 'gone.engine.yaml');
    expect(status).toBe(2);
    expect(out).toContain('tests="1" failures="0" errors="1"');
    expect(out).toContain('<error message="Cannot read gone.engine.yaml: no such file or folder."');
  });
});
