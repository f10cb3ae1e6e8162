import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { excessOf, openFinding, witnessFixes } from '../../shared/checks/beyond.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { injectorDuty } from '../../shared/derived/fuel.ts';
import { Proof, USUAL } from '../../shared/proof/proof.ts';
import { finished } from '../../shared/proof/search.ts';
import { analyseCase } from '../support/fixture.ts';

const text = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');
const subject = analyseCase(new Map([['case.engine.yaml', text]])).subject as EngineSubject;

const excess = (limit: number, options: Partial<typeof USUAL> = {}) => {
  const proof = new Proof(subject.derivation, { ...USUAL, ...options });
  const question = { value: injectorDuty, side: 'high', limitOf: () => limit } as const;
  return { proof, found: finished(excessOf(subject, proof, question)) };
};

test('a search that ends before it can decide says that nothing is proved, with bound, state and limit', () => {
  const { proof } = excess(1);
  const { reached } = proof.furthest('injector_duty', 'high')!;
  const limit = reached * 1.001;
  const { found } = excess(limit, { mostBoxes: 1 });
  expect(found).toMatchObject({ verdict: 'open', atPoint: undefined, named: undefined });
  expect(found!.bound!.bound).toBeGreaterThan(limit);
  expect(found!.bound!.reached).toBeLessThanOrEqual(limit);
  const at = subject.installation.configuration.fuel!.injectors!.static_flow!.node;
  const finding = openFinding(at, 'injector duty', found!, witnessFixes(subject, found!, 'highest_duty'));
  expect(finding.severity).toBe('information');
  expect(finding.message).toMatch(
    /^Limit of [\d.]+ % not proved: injector duty reaches [\d.]+ % at 5800 rpm, .*; no state exceeds [\d.]+ %, but one may exceed the limit\.$/,
  );
  expect(finding.fixes).toHaveLength(1);
});

test('the same limit holds if the search may go on', () => {
  const { proof } = excess(1);
  const { reached } = proof.furthest('injector_duty', 'high')!;
  expect(excess(reached * 1.001).found).toBeUndefined();
});
