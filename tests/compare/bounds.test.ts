import { describe, expect, test } from 'vitest';
import { boundGroups, boundRow } from '../../shared/compare/bound-words.ts';
import type { BoundConsequence } from '../../shared/compare/bounds.ts';
import { type Comparison, compareAnalyses } from '../../shared/compare/comparison.ts';
import { tallyOf, verdictOf, verdictText } from '../../shared/compare/verdict.ts';
import { judgements, READ_BY_BOUNDS } from '../../shared/limits/verdict.ts';
import { trackReads } from '../../shared/memo.ts';
import { BRIEF, Proof } from '../../shared/proof/proof.ts';
import { enginewright } from '../support/command-line.ts';
import { type SarifLog, sarifFaults } from '../support/sarif.ts';
import { analysisOf, complete, edited } from './pair.ts';
import { compared, twoStates } from './states.ts';

const NAME = 'a.engine.yaml';

const withBounds = (was: string, is: string): Comparison =>
  compareAnalyses(analysisOf(was, NAME), analysisOf(is, NAME), () => true);

const boundsIn = ({ consequences }: Comparison): BoundConsequence[] =>
  consequences.filter((one) => one.type === 'bound');

/** The bound of the duty in a map set, without a fault. */
const dutyIn = (comparison: Comparison, mapSet = 'climb'): BoundConsequence | undefined =>
  boundsIn(comparison).find(({ was, is }) => {
    const { id, mapSet: set, fault } = (is ?? was)!;
    return id === 'injector_duty' && set === mapSet && fault === undefined;
  });

const smaller = edited(complete, [['static_flow: 340 cc/min', 'static_flow: 225 cc/min']]);

describe('a bound that moved', () => {
  const comparison = withBounds(complete, smaller);

  test('tells bound, margin, limit and verdict of both states', () => {
    const duty = dutyIn(comparison)!;
    expect(duty.is!.bound / duty.was!.bound).toBeGreaterThan(1.2);
    expect(duty).toMatchObject({
      was: { verdict: 'holds' },
      is: { verdict: 'broken' },
      limit: { label: 'maximum duty', canonical: 0.85 },
    });
    expect(duty.limit.was).toBeCloseTo(0.85 - duty.was!.bound, 12);
    expect(duty.limit.is).toBeCloseTo(0.85 - duty.is!.reached, 12);
    expect(boundRow(duty)).toMatchObject({
      label: 'Injector duty, upper bound',
      place: 'map set climb',
      moved: expect.stringMatching(/^\+[\d.]+ points$/),
      sentence: expect.stringMatching(
        /^margin [\d.]+ → −[\d.]+ points, at most 85 % \(maximum duty\), now broken at \d+ rpm, .* V$/,
      ),
      isBroken: true,
    });
  });

  test('beyond its limit stops a change, as a value does', () => {
    const tally = tallyOf({ changes: comparison.changes, consequences: boundsIn(comparison) });
    expect(tally.broken).toBeGreaterThan(0);
    expect(verdictOf(tally)).toBe('stop');
    expect(verdictText(tally)).toMatch(
      /bounds? newly beyond (?:its limit|their limits).*; 1 change and \d+ bounds moved\.$/,
    );
  });

  test('is one row with the faults that leave it as it is', () => {
    const pulse = boundGroups(boundsIn(comparison)).find(({ label }) =>
      label.startsWith('Injector pulse width'),
    )!;
    expect(pulse.limit).toBe('at least 1.1 ms (minimum pulse)');
    const places = pulse.rows.map(({ place }) => place);
    expect(places).toContain('map set climb; also fuel_pressure failed; also coolant_temperature failed');
    expect(places).not.toContain('map set climb');
  });
});

describe('nothing is said of a bound', () => {
  test.each([
    ['that only a comment or a unit stands for', complete.replace('340 cc/min', '5.6666666667 cc/s')],
    ['that did not move, where another one did', edited(complete, [['pump_flow: 110', 'pump_flow: 111']])],
    ['that no change can reach', edited(complete, [['title: Plover', 'title: Invented']])],
  ])('%s', (_, is) => {
    expect(dutyIn(withBounds(complete, is))).toBeUndefined();
  });

  test('without being asked', () => {
    const comparison = compareAnalyses(analysisOf(complete, NAME), analysisOf(smaller, NAME));
    expect(boundsIn(comparison)).toEqual([]);
    expect(comparison).not.toHaveProperty('boundsLeftOut');
  });
});

test('a bound is matched through the renaming of its map set', () => {
  const renamed = smaller.replaceAll(/\bferry\b/g, 'transfer');
  const duty = dutyIn(withBounds(complete, renamed), 'transfer')!;
  expect(duty).toMatchObject({ was: { mapSet: 'ferry' }, is: { mapSet: 'transfer' } });
});

test('a limit alone that moved is told', () => {
  const duty = dutyIn(
    withBounds(complete, edited(complete, [['maximum_duty: 85 %', 'maximum_duty: 84 %']])),
  )!;
  expect(duty.step).toBeUndefined();
  expect(duty.limit.was! - duty.limit.is!).toBeCloseTo(0.01, 12);
});

test('that there was no time for the bounds is said', () => {
  const comparison = compareAnalyses(analysisOf(complete, NAME), analysisOf(smaller, NAME), () => false);
  expect(boundsIn(comparison)).toEqual([]);
  expect(verdictText(tallyOf(comparison))).toContain('bounds not compared for lack of time');
});

test('bounds depend on no other sections than those that are looked at', () => {
  const { subject, derivation } = analysisOf(complete, NAME);
  const { reads } = trackReads(() => {
    const proof = new Proof(derivation!, { ...BRIEF, mostBoxes: 1 });
    return [...proof.bounds()].flatMap((bound) =>
      judgements(bound, subject as Parameters<typeof judgements>[1]),
    );
  });
  // The thresholds that files state are those of the section `checks`.
  const others = ['which map sets there are', 'the controller file', 'the text', 'departures'];
  const known: ReadonlySet<string> = new Set([...READ_BY_BOUNDS, ...others]);
  expect([...reads].filter((part) => !known.has(part))).toEqual([]);
  expect(reads).toContain('fuel');
});

describe('the command', () => {
  test('tells bounds in JSON with both witnesses, in the units of `derive`', async () => {
    const { consequences } = await compared(...twoStates(complete, smaller));
    expect(consequences.filter(({ type }) => type === 'bound')).toContainEqual(
      expect.objectContaining({
        ...{ id: 'injector_duty', side: 'high', map_set: 'climb', fault: null, unit: '1' },
        old: expect.objectContaining({ verdict: 'holds' }),
        new: expect.objectContaining({
          verdict: 'broken',
          witness: expect.objectContaining({ speed: expect.stringMatching(/ rpm$/), map_set: 'climb' }),
        }),
        limit: expect.objectContaining({ value: 85, unit: '%' }),
      }),
    );
  });

  test.each(['text', 'markdown', 'html'])('shows them as %s', async (format) => {
    const { out } = await enginewright('compare', ...twoStates(complete, smaller), '--format', format);
    expect(out.replace(/\s+/g, ' ')).toMatch(/Injector duty, upper bound.*now broken at \d+ rpm/);
  });

  test('gates list limits that are now broken, as errors at the limit', async () => {
    const states = twoStates(complete, smaller);
    const log = JSON.parse((await enginewright('compare', ...states, '--format', 'sarif')).out) as SarifLog;
    expect(sarifFaults(log)).toEqual([]);
    const broken = log.runs[0].results.filter(({ ruleId }) => ruleId === 'bound-broken');
    const line = smaller.split('\n').findIndex((text) => text.includes('maximum_duty')) + 1;
    expect(broken[0]).toMatchObject({
      level: 'error',
      locations: [{ physicalLocation: { region: { startLine: line } } }],
    });
    const prints = log.runs[0].results.map((one) => one.partialFingerprints['enginewright/v1']);
    expect(new Set(prints).size).toBe(prints.length);
    const junit = (await enginewright('compare', ...states, '--format', 'junit')).out;
    expect(junit).toContain('bound-broken');
  });

  test('compares none where it has no time, and says so', async () => {
    const { out } = await enginewright('compare', ...twoStates(complete, smaller), '--time', '0');
    expect(out).toMatch(/bounds\s+not\s+compared\s+for\s+lack\s+of\s+time/);
    expect(out).not.toContain('upper bound');
    const refused = await enginewright('compare', 'a', 'b', '--time', 'soon');
    expect(refused).toMatchObject({ status: 2, err: expect.stringContaining("'--time' cannot be 'soon'") });
  });
});
