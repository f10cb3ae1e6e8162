import { expect, test } from 'vitest';
import { analyseBriefly } from '../../shared/analysis.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { leanWithLoops } from '../../shared/checks/loop-excess.ts';
import { leftOut } from '../../shared/checks/run.ts';
import { usualMixture } from '../../shared/checks/usual-mixture.ts';
import { Proof, type Question } from '../../shared/proof/proof.ts';
import type { Pause } from '../../shared/proof/search.ts';
import { analyseCase, projectOf } from '../support/fixture.ts';

/** Loops that make the mixture too lean at every high pressure, with no operating point where they work. */
const subject = analyseCase(
  new Map([
    [
      'case.engine.yaml',
      `based_on: ./complete.engine.yaml
closed_loop: { lambda: { authority: 30 %, lean_limit: 1.29 } }
operating_points: { cruise: { speed: 5400 rpm } }
`,
    ],
  ]),
).subject as EngineSubject;

/** The findings, if the bounds from some pressures up (Pa) were not decided. */
function findingsIf(isOpen: (from: number) => boolean) {
  const proof = new Proof(subject.derivation);
  const asked: number[] = [];
  const partly = {
    *beyond(question: Question): Generator<Pause, unknown> {
      const found = yield* proof.beyond(question);
      const { configuration } = subject.installation;
      const from = question.regionsOf?.(configuration)[0]?.lowestPressure ?? 0;
      if (question.id === 'lambda_at_full_leaning') asked.push(from);
      return found && isOpen(from) ? { ...found, verdict: 'open' } : found;
    },
  } as unknown as Proof;
  const { leanest } = usualMixture(subject);
  const found = leanWithLoops(subject, partly, leanest, { leanest: 1.3, allowance: 0.16 });
  return { findings: [...found].filter((one) => one !== undefined), asked };
}

test('the densest part of the curve in which the mixture is too lean is reported', () => {
  const { findings } = findingsIf(() => false);
  expect(findings).toHaveLength(1);
  expect(findings[0]!.message).toMatch(/leaner than the limit of 1\.06 that applies from 130 kPa abs up/);
});

test('a part of which it is not decided does not hide a lighter one that is too lean', () => {
  const { findings, asked } = findingsIf((from) => from >= 130_000);
  expect(asked.length).toBeGreaterThan(1);
  expect(findings.map(({ severity }) => severity)).toEqual([undefined]);
  expect(findings[0]!.message).toMatch(/leaner than the limit of 1\.1 that applies from 110 kPa abs up/);
});

test('if none is decided, the densest is reported as not proved; the parts begin where the curve begins to matter', () => {
  const { findings, asked } = findingsIf(() => true);
  expect(findings.map(({ severity }) => severity)).toEqual(['information']);
  expect(findings[0]!.message).toMatch(/^Limit of 1\.0556 not proved: /);
  expect(asked).toEqual([220, 180, 150, 130, 110, 105, 0].map((kPa) => kPa * 1000));
});

test.each([
  ['remove: [closed_loop]', false],
  ['remove: [closed_loop.lambda]', true],
])('bounds are searched only for an engine with a loop that changes the fuel: %s', (loops, isSearched) => {
  const files = new Map([['case.engine.yaml', `based_on: ./complete.engine.yaml\n${loops}\n`]]);
  const { asked } = analyseBriefly(projectOf(files), '/installation/case.engine.yaml')!;
  const ids = leftOut(asked).map(({ id }) => id);
  expect(ids).toContain('injector-duty-high');
  expect(ids.includes('loop-authority-exceeds-limit')).toBe(isSearched);
});
