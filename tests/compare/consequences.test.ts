import { describe, expect, test } from 'vitest';
import { analyse } from '../../shared/analysis.ts';
import { compareAnalyses } from '../../shared/compare/comparison.ts';
import { isNewFinding } from '../../shared/compare/findings.ts';
import { cappedConsequences } from '../../shared/compare/sections.ts';
import { relativeStepText } from '../../shared/compare/step.ts';
import { tallyOf, verdictOf, verdictText } from '../../shared/compare/verdict.ts';
import { findingWords, limitText, marginText, valuePair } from '../../shared/compare/words.ts';
import { projectOf } from '../support/fixture.ts';
import { analysisOf, changed, compareTexts, complete, edited, findingsIn, valuesIn } from './pair.ts';

describe('derived values', () => {
  const smaller = changed(['static_flow: 340 cc/min', 'static_flow: 300 cc/min']);
  const value = (id: string, point?: string) =>
    valuesIn(smaller).find((one) => one.id === id && one.point === point)!;

  test('are compared at every operating point, with the margin to their limit', () => {
    const duty = value('injector_duty', 'take_off');
    // The dead time stays the same, so the duty rises by less than the flow falls: by a factor between 1 and 340/300.
    const ratio = duty.is!.canonical / duty.was!.canonical;
    expect(ratio).toBeGreaterThan(1.1);
    expect(ratio).toBeLessThan(340 / 300);
    expect(duty.limit).toMatchObject({ label: 'maximum duty', side: 'most', canonical: 0.85 });
    expect(duty.limit!.was).toBeCloseTo(0.85 - duty.was!.canonical, 12);
    expect(duty.limit!.is).toBeCloseTo(0.85 - duty.is!.canonical, 12);
    expect(limitText(duty)).toBe('at most 85 % (maximum duty)');
    expect(marginText(duty)).toMatch(/^margin \d+(\.\d+)? → \d+(\.\d+)? points( \(−\d+(\.\d+)? %\))?$/);
  });

  test('that stood still while their limit moved have no step to tell', () => {
    const found = valuesIn(changed(['current: 9 A, fuse: 10 A', 'current: 9 A, fuse: 25 A']));
    const protector = found.find(({ id }) => id === 'wire_protector')!;
    expect(protector.is!.canonical).toBe(protector.was!.canonical);
    expect(relativeStepText(protector.step)).toBe('');
    // 16 AWG allows a 10 A fuse: FAA AC 43.13-1B, table 11-3.
    expect(marginText(protector)).toMatch(/^margin 0 → −15 A/);
  });

  test('of the whole file are compared as well', () => {
    // Flow at rail pressure is proportional to static flow.
    const { was, is } = value('injector_flow_at_rail_pressure');
    expect(is!.canonical / was!.canonical).toBeCloseTo(300 / 340, 12);
  });

  test('that nothing leads to from the change are not told', () => {
    expect(valuesIn(smaller).map(({ id }) => id)).not.toContain('estimated_power');
    expect(valuesIn(smaller).map(({ id }) => id)).not.toContain('manifold_pressure');
  });

  test('are told with as many digits as it takes to see them apart', () => {
    const [first] = valuesIn(changed(['bore: 84 mm', 'bore: 84.0001 mm']));
    const [was, is] = valuePair(first!);
    expect(was).not.toBe(is);
  });

  test('come closer to a limit that is moved', () => {
    const duties = valuesIn(changed(['maximum_duty: 85 %', 'maximum_duty: 80 %'])).filter(
      ({ id }) => id === 'injector_duty',
    );
    expect(duties.map(({ point }) => point).sort()).toEqual(['cruise', 'take_off']);
    for (const { step, limit } of duties) {
      expect(step!.canonical).toBe(0);
      expect(limit!.is! - limit!.was!).toBeCloseTo(-0.05, 12);
    }
  });

  test('that can not be derived any more are told so', () => {
    const lost = valuesIn(changed(['stroke: 55 mm', 'stroke: 55 kPa'])).find(
      ({ id }) => id === 'displacement',
    )!;
    expect(lost.is).toBeUndefined();
    expect(valuePair(lost)[1]).toBe('not derived');
  });

  test('of a new point are no consequence: the change tells that it is new', () => {
    const { changes, consequences } = changed([
      'operating_points:\n',
      'operating_points:\n  idle: { speed: 1300 rpm, manifold_pressure: 40 kPa abs }\n',
    ]);
    expect(changes).toMatchObject([{ type: 'added' }]);
    expect(consequences.filter(({ type }) => type === 'value')).toEqual([]);
  });

  test('follow a curve whose points are others now', () => {
    const currents = valuesIn(
      changed([
        'breakpoints: [8, 10, 12, 14, 16] }\n    unit: ms\n    values: [4.6, 3.2, 2.5, 2.0, 1.7]',
        'breakpoints: [8, 12, 16] }\n    unit: ms\n    values: [5.5, 2.5, 1.7]',
      ]),
    ).filter(({ id }) => id === 'coil_current');
    expect(currents).toHaveLength(1);
    expect(currents[0]!.step!.canonical).toBeGreaterThan(0);
  });
});

describe('findings', () => {
  const weak = ['static_flow: 340 cc/min', 'static_flow: 120 cc/min'] as const;
  const duty = /^injector-duty-/;
  const accepted = (text: string, reason = 'flow bench') =>
    findingsIn(compareTexts(complete, edited(complete, [weak]))).reduce(
      (edit, { rule, finding }) =>
        finding.path === 'fuel.injectors.static_flow'
          ? edited(edit, [['    static_flow', `    # accept ${rule}: ${reason}\n    static_flow`]])
          : edit,
      text,
    );

  test('come with a change, and go with its opposite', () => {
    const was = edited(complete, [weak]);
    const came = findingsIn(compareTexts(complete, was)).filter(({ rule }) => duty.test(rule));
    expect(came.length).toBeGreaterThan(0);
    for (const one of came) {
      expect(one).toMatchObject({ was: 'none', is: 'open' });
      expect(isNewFinding(one)).toBe(true);
    }
    const went = findingsIn(compareTexts(was, complete)).filter(({ rule }) => duty.test(rule));
    expect(went.map(({ rule }) => rule).sort()).toEqual(came.map(({ rule }) => rule).sort());
    for (const one of went) {
      expect(one).toMatchObject({ was: 'open', is: 'none' });
      expect(isNewFinding(one)).toBe(false);
    }
  });

  test('neither come nor go between a file and one that is based on it and changes nothing', () => {
    // Small injectors cause errors; information about a base file is reported only there.
    const weaker = edited(complete, [weak]);
    const files = new Map([
      ['above.engine.yaml', 'enginefile: 1\nbased_on: ./base.engine.yaml\n'],
      ['base.engine.yaml', weaker],
    ]);
    const above = analyse(projectOf(files), '/installation/above.engine.yaml')!;
    const base = analysisOf(weaker, 'base.engine.yaml');
    expect(above.findings.length).toBeGreaterThan(0);
    expect(compareAnalyses(base, above)).toMatchObject({ changes: [], consequences: [] });
    expect(compareAnalyses(above, base)).toMatchObject({ changes: [], consequences: [] });
  });

  test('are newly accepted with their reason', () => {
    const was = edited(complete, [weak]);
    const told = findingsIn(compareTexts(was, accepted(was)));
    expect(told.length).toBeGreaterThan(0);
    for (const one of told) {
      expect(one).toMatchObject({ was: 'open', is: 'accepted', reason: 'flow bench' });
      expect(findingWords(one)).toMatch(/^newly accepted (error|warning)$/);
      expect(isNewFinding(one)).toBe(false);
    }
  });

  test('are accepted no more, or for another reason', () => {
    const was = edited(complete, [weak]);
    for (const one of findingsIn(compareTexts(accepted(was), was))) {
      expect(one).toMatchObject({ was: 'accepted', is: 'open' });
      expect(isNewFinding(one)).toBe(true);
    }
    const [other] = findingsIn(compareTexts(accepted(was), accepted(was, 'measured again')));
    expect(other).toMatchObject({ was: 'accepted', is: 'accepted', reason: 'measured again' });
  });

  test('that only say another number are the same', () => {
    const [was, is] = [
      edited(complete, [['static_flow: 340', 'static_flow: 120']]),
      edited(complete, [['static_flow: 340', 'static_flow: 115']]),
    ];
    const found = findingsIn(compareTexts(was, is)).filter(({ rule }) => rule === 'injector-duty-over-100');
    expect(found).toEqual([]);
  });

  test('stay with a thing that is renamed', () => {
    const wrong = edited(complete, [['frequency: 6.8 kHz', 'frequency: 16.8 kHz']]);
    const renamed = edited(wrong, [
      ['  knock: { measures', '  knock_front: { measures'],
      ['sensor: knock,', 'sensor: knock_front,'],
      ['  sensors.knock: {', '  sensors.knock_front: {'],
    ]);
    expect(findingsIn(compareTexts(complete, wrong)).map(({ rule }) => rule)).toContain(
      'knock-frequency-off',
    );
    expect(findingsIn(compareTexts(wrong, renamed))).toEqual([]);
  });

  test('of a file that is new are all new', () => {
    const analysis = analysisOf(edited(complete, [weak]));
    const comparison = compareAnalyses(undefined, analysis);
    expect(comparison.changes).toMatchObject([{ type: 'added' }]);
    expect(findingsIn(comparison)).toHaveLength(analysis.findings.length);
    expect(findingsIn(comparison).every(isNewFinding)).toBe(true);
  });
});

test('what may harm the engine comes first', () => {
  const comparison = changed(
    ['static_flow: 340 cc/min', 'static_flow: 120 cc/min'],
    ['density: 0.745 kg/L', 'density: 0.75 kg/L'],
  );
  const [first] = comparison.consequences;
  expect(first).toMatchObject({ type: 'finding', is: 'open', severity: 'error' });
  const values = valuesIn(comparison);
  const firstFree = values.findIndex(({ limit }) => limit === undefined);
  const lastBeyond = values.findLastIndex(({ limit }) => (limit?.is ?? 0) < 0);
  expect(lastBeyond).toBeGreaterThanOrEqual(0);
  expect(lastBeyond).toBeLessThan(firstFree);
});

describe('the verdict', () => {
  test.each([
    ['nothing', [], 'Nothing changed in the engine.'],
    ['harmless', [['revision: A', 'revision: B']], 'No new errors or warnings; 1 change.'],
    [
      'stop',
      [['static_flow: 340', 'static_flow: 120']],
      /^\d+ new errors?.*; 1 change and \d+ derived values changed\.$/,
    ],
  ] as const)('is %s', (verdict, replacements, text) => {
    const comparison = changed(...replacements);
    expect(verdictOf(tallyOf(comparison))).toBe(verdict);
    expect(verdictText(tallyOf(comparison))).toMatch(text);
  });

  test('asks for a look where a value passed its limit without a finding', () => {
    // At this pressure ratio the compressor reaches 160 kPa at sea level, and no target is that high.
    const comparison = changed(['overboost_cut: 160 kPa abs', 'overboost_cut: 139 kPa abs']);
    expect(['look', 'stop']).toContain(verdictOf(tallyOf(comparison)));
    expect(verdictText(tallyOf(comparison))).toMatch(/beyond (its|their) limits?/);
  });
});

test('findings with one cause are one consequence', () => {
  const dark = changed(['  warning_light: { drives: light, pin: C14, meaning: warning }\n', '']);
  expect(findingsIn(dark).filter(({ rule }) => rule === 'light-missing')).toHaveLength(2);
  const listed = cappedConsequences(dark.consequences).filter(
    (one) => one.type === 'finding' && one.rule === 'light-missing',
  );
  expect(listed).toMatchObject([
    { finding: { related: [{ message: expect.stringMatching(/`overspeed`/) }] } },
  ]);
  expect(verdictText(tallyOf(dark))).toMatch(/^1 new error\b/);
});
