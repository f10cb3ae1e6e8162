import { expect, test } from 'vitest';
import { checkText } from '../../server/formats/check-text.ts';
import { styleOf } from '../../server/terminal.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { readSource } from '../../shared/source/source-file.ts';

const paper = { width: 60, style: styleOf(false) };

const text = 'enginefile: 1\nengine:\n  bore: 76 mm\n  stroke: 6 mm # was 60\n';
const file = readSource('/shop/tow.engine.yaml', text);

function finding(of: string, changes: Partial<Finding>): Finding {
  const start = text.indexOf(of);
  const place = { file: file.path, start, end: start + of.length };
  return {
    ...place,
    rule: 'a-rule',
    severity: 'error',
    message: 'A message.',
    path: '',
    related: [],
    fixes: [],
    ...changes,
  };
}

function written(findings: Finding[], accepted: { finding: Finding; reason: string }[] = []): string {
  return checkText.write(
    { files: [{ name: 'tow.engine.yaml', analysis: { file, files: [file], findings, accepted } }] },
    paper,
  );
}

test('a finding stands under its place, with the line, carets, related places and fixes', () => {
  const bore = text.indexOf('bore');
  const one = finding('6 mm #', {
    rule: 'suspicious-magnitude',
    severity: 'warning',
    message: 'A stroke of 6 mm is a tenth of what engines of this bore have, so a digit may be missing.',
    related: [{ file: file.path, start: bore, end: bore + 4, message: 'The bore is here.' }],
    fixes: [{ title: "Write '60 mm'", safety: 'choice', edits: [] }],
  });
  expect(written([{ ...one, end: one.start + 4 }])).toBe(`tow.engine.yaml:4:11  warning  suspicious-magnitude
    4 │   stroke: 6 mm # was 60
      │           ^^^^
  A stroke of 6 mm is a tenth of what engines of this bore
  have, so a digit may be missing.
  see tow.engine.yaml:3:3: The bore is here.
  fix: Write '60 mm'

1 file checked: 1 warning.
Run 'enginewright explain suspicious-magnitude' for an explanation.
`);
});

test('a stretch of many lines is marked on its first', () => {
  expect(written([finding('engine:\n  bore', {})])).toContain('    2 │ engine:\n      │ ^^^^^^^\n');
});

test('the summary counts by severity', () => {
  const severities = ['error', 'error', 'warning', 'information', 'hint'] as const;
  const findings = severities.map((severity) => finding('76 mm', { severity }));
  expect(written(findings)).toContain(
    "1 file checked: 2 errors, 1 warning, 1 information and 1 hint.\nRun 'enginewright explain a-rule'",
  );
  expect(written([finding('76 mm', { severity: 'hint' })])).toContain('no errors or warnings, 1 hint.\n');
});

test('what the file accepts is named with its reason', () => {
  const output = written([], [{ finding: finding('76 mm', { rule: 'odd-bore' }), reason: 'sleeved' }]);
  expect(output).toBe(`tow.engine.yaml:3:9  accepted  odd-bore
  sleeved

1 file checked: no findings. 1 finding accepted.
`);
});
