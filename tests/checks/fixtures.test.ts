import { describe, expect, test } from 'vitest';
import type { Analysis } from '../../shared/analysis.ts';
import { allChecks } from '../../shared/checks/registry.ts';
import {
  analyseCase,
  applyFix,
  asExpected,
  type Case,
  filesAfter,
  fixtureNames,
  messageMatches,
  readFixture,
} from '../support/fixture.ts';

const fixtures = new Map(
  fixtureNames('checks').map((name) => [name.replace(/\.yaml$/, ''), readFixture(`checks/${name}`)]),
);

/** The findings that a case speaks of: those of the check that the fixture is about, and of every rule it marks. */
function findingsOf(analysis: Analysis, rule: string, { expected }: Case) {
  const rules = new Set([rule, ...expected.map((one) => one.rule)]);
  return analysis.findings.filter((finding) => rules.has(finding.rule));
}

describe.each([...fixtures])('%s', (rule, cases) => {
  test.each(cases.map((one) => [one.title, one] as const))('%s', (_, one) => {
    const analysis = analyseCase(one.files);
    const findings = findingsOf(analysis, rule, one);
    const found = findings.map((finding) => asExpected(analysis, finding));
    // Where the message fits its pattern, the pattern stands for it.
    const shown = found.map((finding) => {
      const match = one.expected.find(
        (marker) =>
          marker.rule === finding.rule &&
          marker.line === finding.line &&
          marker.start === finding.start &&
          messageMatches(marker.message, finding.message ?? ''),
      );
      return match ? { ...finding, message: match.message } : finding;
    });
    const order = (a: { line: number; start: number; rule: string }, b: typeof a) =>
      a.line - b.line || a.start - b.start || a.rule.localeCompare(b.rule);
    expect(shown.sort(order)).toEqual([...one.expected].sort(order));
    if (one.hasNoFix) expect(findings.flatMap(({ fixes }) => fixes)).toEqual([]);
    for (const [title, { text, safety }] of one.fixed) {
      const fix = analysis.findings.flatMap((finding) => finding.fixes).find((fix) => fix.title === title);
      expect(
        fix,
        `no fix "${title}" among ${JSON.stringify(analysis.findings.flatMap((f) => f.fixes.map((x) => x.title)))}`,
      ).toBeDefined();
      expect(fix!.safety).toBe(safety);
      expect(applyFix(analysis, fix!)).toBe(text);
    }
  });

  test('a fix removes its finding', () => {
    for (const one of cases) {
      const analysis = analyseCase(one.files);
      for (const finding of findingsOf(analysis, rule, one)) {
        for (const fix of finding.fixes) {
          const again = analyseCase(filesAfter(one.files, analysis, fix));
          const same = again.findings.filter((f) => f.rule === finding.rule && f.message === finding.message);
          expect(same, `after "${fix.title}"`).toEqual([]);
        }
      }
    }
  });
});

test.each(allChecks.map((check) => check.id))('%s fires in one case and stays silent in another', (id) => {
  const cases = fixtures.get(id) ?? [];
  expect(cases.some((one) => one.expected.some((marker) => marker.rule === id))).toBe(true);
  expect(cases.some((one) => !one.expected.some((marker) => marker.rule === id))).toBe(true);
});
