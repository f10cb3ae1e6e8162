import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { type Analysis, analyse, readingsOf } from '../../shared/analysis.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { allChecks } from '../../shared/checks/registry.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { LineIndex } from '../../shared/source/lines.ts';
import { offsetsOf } from '../../shared/source/source-file.ts';

const COMPLETE = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');
const PATH = '/installation/case.engine.yaml';

function findingsOf(text: string) {
  return analyse(
    createProject((path) => (path === PATH ? text : undefined)),
    PATH,
  )!.findings;
}

/** Cases that `npm run fuzz` found. Each text once crashed the analysis or left a stale result in it. */
describe('texts that random edits made', () => {
  test.each(['hasOwnProperty', 'toString', 'constructor', '__proto__'])(
    'a key that every object of the language has, %s, is a key that the file does not know',
    (key) => {
      const unknown = findingsOf(`${key}: {}\n`).filter(({ rule }) => rule === 'unknown-key');
      expect(unknown.map(({ start, end }) => [start, end])).toEqual([[0, key.length]]);
    },
  );

  test('a cell of more digits than a number has is judged, and a fix for it is written', () => {
    const long = `83.${'0'.repeat(120)}`;
    const text = `fuel:
  volumetric_efficiency:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 2000, 3000, 4000, 5000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [40, 60, 80, 100, 120] }
    unit: "%"
    values:
      - [70, 74, 78, 81, 82]
      - [72, 76, 80, 83, 84]
      - [75, 79, 38, ${long}, 87]
      - [77, 81, 85, 88, 89]
      - [79, 83, 87, 90, 91]
`;
    const slip = findingsOf(text).find(({ rule }) => rule === 'cell-outlier');
    expect(slip?.fixes[0]?.edits[0]?.text).toMatch(/^8\d\.\d*$/);
  });

  test('a word where a curve, a map or a list of pairs belongs is of the wrong type, and nothing is read from it', () => {
    const project = createProject(() => COMPLETE);
    const whole = analyse(project, PATH)!;
    const lists = readingsOf(whole).filter(
      ({ value }) => value.type === 'table' || value.type === 'relation',
    );
    expect(lists.length).toBeGreaterThan(15);
    for (const { node } of lists) {
      const { start, end } = offsetsOf(whole.file, node);
      // A block follows its key, and so does a word that replaces it.
      const text = `${COMPLETE.slice(0, start)}word${COMPLETE.slice(end)}`;
      const wrong = findingsOf(text).filter((one) => one.rule === 'wrong-type' && one.start === start);
      expect(wrong).toHaveLength(1);
    }
  });

  test('a breakpoint that is no number stands nowhere twice', () => {
    const text = `fuel:
  target_lambda:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [.nan, 1000, 1000] }
    values: [1, 1, 1]
`;
    const twice = findingsOf(text).filter(({ rule }) => rule === 'duplicate-breakpoint');
    expect(twice.map(({ start }) => text.slice(0, start).match(/1000/g)?.length)).toEqual([1]);
  });

  test('the keys that are offered for an unknown one are those that the file lacks now, not before', () => {
    const before = `${COMPLETE}zzz: 1\n`;
    const after = before.replace(/^controller: .*\n/m, '');
    const live = createProject((path) => (path === PATH ? before : undefined));
    let last: Analysis | undefined;
    const offered = () => {
      last = analyse(live, PATH, last);
      const isAbout = ({ rule, message }: Finding) => rule === 'unknown-key' && /zzz/.test(message);
      return last!.findings.find(isAbout)?.message;
    };
    expect(offered()).not.toContain('`controller`');
    live.rewrite(PATH, [{ text: after }]);
    expect(offered()).toContain('`controller`');
  });

  test('lines end as the protocol of editors has it', () => {
    const lines = new LineIndex('a\rb\r\nc\nd');
    expect([...lines.starts]).toEqual([0, 2, 5, 7]);
    expect([0, 1, 2, 3].map((line) => lines.line(line))).toEqual(['a', 'b', 'c', 'd']);
    expect(lines.position(5)).toEqual({ line: 2, character: 0 });
  });
});

test('every check of bounds counts as having read the envelope, whichever check asked for the bounds first', () => {
  const project = createProject((path) => (path === PATH ? COMPLETE : undefined));
  const { asked } = analyse(project, PATH)!;
  const searching = allChecks.filter(({ searches }) => searches);
  expect(searching.length).toBeGreaterThan(10);
  const blind = searching.filter((check) => !asked.answers.get(check)!.reads.has('envelope'));
  expect(blind.map(({ id }) => id)).toEqual([]);
});
