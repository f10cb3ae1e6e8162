import { describe, expect, test } from 'vitest';
import { diagnosticsOf } from '../../server/features/diagnostics.ts';
import type { Analysis } from '../../shared/analysis.ts';
import { families } from '../../shared/checks/registry.ts';
import { plainEditor } from '../features/marked.ts';
import {
  analyseCase,
  type Case,
  filesAfter,
  fixtureNames,
  readFixture,
  rulesOf,
  writtenCase,
} from '../support/fixture.ts';
import { caseAsItIs, findingsOf } from '../support/fixture-as-it-is.ts';

const names = fixtureNames('checks');

/**
 * Tests every check of a family by its fixture. Each family calls this in its own test file, because Vitest runs files
 * in parallel, not tests.
 */
export function testFamily(family: string): void {
  for (const { checks } of families.filter(({ id }) => id === family))
    for (const { id } of checks) testCheck(id);
}

function testCheck(rule: string): void {
  const fixture = `${rule}.yaml`;
  const cases = names.includes(fixture) ? readFixture(`checks/${fixture}`) : [];
  const analyses = new Map<Case, Analysis>();
  const analysisOf = (one: Case): Analysis => {
    const analysis = analyses.get(one) ?? analyseCase(one.files, rulesOf(rule, one));
    analyses.set(one, analysis);
    return analysis;
  };

  describe(rule, () => {
    test.each(cases.map((one) => [one.title, one] as const))('%s', (_, one) => {
      const hint = `\`npm run fixtures:update ${rule}\` writes what is so now`;
      expect(caseAsItIs(one, rule, analysisOf(one)), hint).toBe(writtenCase(one.parts));
    });

    test('has no backticks in a list of problems that cannot show code', () => {
      const messages = cases.flatMap((one) =>
        diagnosticsOf(analysisOf(one), plainEditor).flatMap(({ message, relatedInformation }) => [
          message,
          ...(relatedInformation ?? []).map((related) => related.message),
        ]),
      );
      expect(messages.length).toBeGreaterThan(0);
      expect(messages.filter((message) => String(message).includes('`'))).toEqual([]);
    });

    test('a fix removes its finding', () => {
      for (const one of cases) {
        const analysis = analysisOf(one);
        for (const finding of findingsOf(analysis, rule, one)) {
          for (const fix of finding.fixes) {
            const again = analyseCase(filesAfter(one.files, analysis, fix), [rule]);
            const same = again.findings.filter(
              (f) => f.rule === finding.rule && f.message === finding.message,
            );
            expect(same, `after "${fix.title}"`).toEqual([]);
          }
        }
      }
    });
  });

  test(`${rule} fires in one case and stays silent in another`, () => {
    const fires = ({ expected }: Case) => expected.some((marker) => marker.rule === rule);
    const wanted = `tests/fixtures/checks/${fixture} needs a case in which the check`;
    expect(cases.some(fires), `${wanted} fires`).toBe(true);
    expect(
      cases.some((one) => !fires(one)),
      `${wanted} stays silent`,
    ).toBe(true);
  });
}
