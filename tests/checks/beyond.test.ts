import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import {
  type ExcessText,
  excessFinding,
  excessOf,
  openFinding,
  witnessFixes,
} from '../../shared/checks/beyond.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import type { StateConfiguration } from '../../shared/derived/core-engine.ts';
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

/** An overlay with a map set that has smaller injectors than the engine itself. */
const overlaid = analyseCase(
  new Map([
    [
      'case.engine.yaml',
      `based_on: ./complete.engine.yaml
map_sets:
  sets: { ferry: { apply: { fuel: { injectors: { static_flow: 150 cc/min } } } } }
operating_points: { cruise: null, take_off: null }
`,
    ],
    ['complete.engine.yaml', text],
  ]),
).subject as EngineSubject;

/** The findings for an excess of the injector duty, with the text as given. */
function findingsFor(of: EngineSubject, limit: number, mostBoxes: number, more: Partial<ExcessText>) {
  const proof = new Proof(of.derivation, { ...USUAL, mostBoxes });
  const question = { value: injectorDuty, side: 'high', limitOf: () => limit } as const;
  const found = finished(excessOf(of, proof, question));
  const engines: StateConfiguration[] = [];
  const findings = [
    ...excessFinding(of, found, (engine, { where }) => {
      engines.push(engine);
      const at = engine.fuel!.rail!.pump_flow!.node;
      return { at, name: 'highest_duty', message: `Too much ${where}, far too much`, ...more };
    }),
  ];
  return { found, engines, findings };
}

test('a finding is about the engine of the map set in which the limit is exceeded, and follows from the keys of the overlay', () => {
  const { engines, findings } = findingsFor(overlaid, 1, USUAL.mostBoxes, { verb: 'needs', after: ' Far.' });
  expect(engines.map(({ fuel }) => fuel?.injectors?.static_flow?.node.text)).toEqual(['150 cc/min']);
  expect(findings).toHaveLength(1);
  const [finding] = findings;
  expect(finding!.message).toMatch(
    /^Too much at 5800 rpm, .* \(no state needs more.*\), far too much\. Far\.$/,
  );
  expect(finding!.fixes).toHaveLength(1);
  const own = finding!.follows!.filter(({ chunk }) => chunk.file === overlaid.file.path);
  expect(own.map((node) => node.step)).toEqual(['static_flow']);
});

test('an undecided limit is reported only under its label', () => {
  const { reached } = excess(1).proof.furthest('injector_duty', 'high')!;
  const limit = reached * 1.001;
  const silent = findingsFor(subject, limit, 1, {});
  expect(silent.found).toMatchObject({ verdict: 'open' });
  expect(silent.findings).toEqual([]);
  const { findings } = findingsFor(subject, limit, 1, { label: 'injector duty' });
  expect(findings.map(({ message }) => message)).toEqual([
    expect.stringMatching(/^Limit of [\d.]+ % not proved: injector duty reaches /),
  ]);
});
