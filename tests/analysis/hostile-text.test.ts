import { describe, expect, test } from 'vitest';
import { analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { MAX_TEXT_LENGTH } from '../../shared/source/source-file.ts';

const PATH = '/installation/a.engine.yaml';

/** The rules and messages of a text; fails if it takes longer than a user would wait. */
function findings(text: string, others: Record<string, string> = {}) {
  const project = createProject((path) => (path === PATH ? text : others[path]));
  return analyse(project, PATH)!.findings.map(({ rule, message, start, end }) => ({
    rule,
    message,
    start,
    end,
  }));
}

/** The one fault that must be among the findings, at a position inside the text. */
function expectFault(text: string, rule: string, message: RegExp) {
  const found = findings(text).filter((one) => one.rule === rule);
  expect(found.length).toBeGreaterThan(0);
  expect(found[0]!.message).toMatch(message);
  expect(found[0]!.end).toBeLessThanOrEqual(text.length);
}

describe('texts that are no configuration', () => {
  test('an empty file says what is missing', () => {
    expect(findings('').map(({ rule }) => rule)).toContain('missing-key');
  });

  test('a list is no configuration', () => expectFault('- a\n- b\n', 'syntax-error', /lines of the form/));

  test('plain prose is no configuration', () =>
    expectFault('Hello there.\n', 'syntax-error', /lines of the form/));

  test('binary is refused', () => expectFault('\u0000\u0001\u0002ELF\u0000', 'syntax-error', /zero bytes/));

  test('a text of 10 MB is refused', () => {
    expect(MAX_TEXT_LENGTH).toBeLessThan(1e7);
    expectFault('a: 1\n'.repeat(2e6), 'syntax-error', /MB/);
  });

  test('half a million nested brackets are refused', () =>
    expectFault(`engine: ${'['.repeat(5e5)}`, 'syntax-error', /nested/));

  test('nearly half a million nested dashes are refused', () =>
    expectFault(`engine:\n ${'- '.repeat(4.9e5)}`, 'syntax-error', /nested/));

  test('deeply indented mappings are read or refused, never crashed on', () => {
    const deep = Array.from({ length: 3000 }, (_, i) => `${' '.repeat(i)}a:`).join('\n');
    expect(findings(`engine:\n${deep}`).length).toBeGreaterThan(0);
  });

  test('an alias bomb is refused', () => {
    const lines = ['engine:', '  a0: &a0 [x, x, x, x, x, x, x, x, x]'];
    for (let i = 1; i < 12; i++)
      lines.push(
        `  a${i}: &a${i} [${Array(9)
          .fill(`*a${i - 1}`)
          .join(', ')}]`,
      );
    expectFault(lines.join('\n'), 'syntax-error', /expand/);
  });

  test('an alias inside what it names is refused', () =>
    expectFault('engine: &e { bore: *e }\n', 'syntax-error', /refers to a value that contains it/));

  test('tags have no meaning', () =>
    expectFault('engine: !engine { bore: 80 mm }\n', 'syntax-error', /Tags/));
});

describe('files that name files', () => {
  const header = 'enginefile: 1\n';

  test('an overlay that names itself is a cycle', () => {
    expect(findings(`${header}based_on: ./a.engine.yaml\n`).map(({ rule }) => rule)).toContain(
      'overlay-cycle',
    );
  });

  test('two overlays that name each other are a cycle', () => {
    const other = { '/installation/b.engine.yaml': `${header}based_on: ./a.engine.yaml\n` };
    expect(findings(`${header}based_on: ./b.engine.yaml\n`, other).map(({ rule }) => rule)).toContain(
      'overlay-cycle',
    );
  });

  test('a missing base is said where it is named', () => {
    const text = `${header}based_on: ./gone.engine.yaml\n`;
    const fault = findings(text).find(({ rule }) => rule === 'overlay-file-missing')!;
    expect(text.slice(fault.start, fault.end)).toBe('./gone.engine.yaml');
  });
});

describe('wrong types everywhere', () => {
  const wrong = [
    '',
    '~',
    'true',
    '[]',
    '{}',
    '[1, 2]',
    '{ a: b }',
    '1e999',
    '-0',
    '"text"',
    '.nan',
    '2001-01-01',
    '| \n    block',
  ];
  const sections = [
    'engine',
    'fuel',
    'ignition',
    'boost',
    'sensors',
    'outputs',
    'map_sets',
    'closed_loop',
    'protection',
    'bus',
    'harness',
    'operating_points',
    'checks',
    'based_on',
    'controller',
  ];

  test.each(wrong)('every section as `%s`', (value) => {
    for (const section of sections) {
      const found = findings(`enginefile: 1\n${section}: ${value}\n`);
      for (const { start, end } of found) expect(start).toBeLessThanOrEqual(end);
    }
    expect(findings(`enginefile: ${value}\n`).length).toBeGreaterThan(0);
  });
});
