import { readFileSync } from 'node:fs';
import { describe, expect, test, vi } from 'vitest';
import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { type Comparison, compareAnalyses } from '../../shared/compare/comparison.ts';
import { type WorseFault, worseFaults } from '../../shared/compare/fault-words.ts';
import { tallyOf, verdictOf, verdictText } from '../../shared/compare/verdict.ts';
import { faultTable, READ_BY_FAULTS } from '../../shared/faults/table.ts';
import { trackReads } from '../../shared/memo.ts';
import { enginewright } from '../support/command-line.ts';
import { projectOf } from '../support/fixture.ts';
import { junitSchemas, xmlFaults } from '../support/junit.ts';
import { type SarifLog, sarifFaults } from '../support/sarif.ts';
import { analysisOf, complete, completeController, edited } from './pair.ts';
import { compared, twoStates } from './states.ts';

// Counts the tables that are computed.
vi.mock(import('../../shared/faults/table.ts'), async (original) => {
  const module = await original();
  return { ...module, faultTable: vi.fn(module.faultTable) };
});

/** With a light that shows failed sensors. */
const lit = edited(complete, [
  [
    '  fuel_pump: { drives',
    '  fault_light: { drives: light, meaning: status, resistance: 240 ohm }\n  fuel_pump: { drives',
  ],
]);
/** A failed pressure sensor counts as less air than there is, so the spark is too early. */
const early = edited(lit, [['substitute: 140 kPa abs', 'substitute: 100 kPa abs']]);
const unbounded = edited(lit, [['    fault_outside: 0.2..4.8 V\n    substitute: 140 kPa abs\n', '']]);

const withFaults = (was: string, is: string): Comparison =>
  compareAnalyses(analysisOf(was), analysisOf(is), () => false);

const linesOf = ({ consequences }: Comparison): WorseFault[] =>
  worseFaults(consequences.filter((one) => one.type === 'fault'));

const lineOf = (comparison: Comparison, of: string) => linesOf(comparison).find((line) => line.of === of);

describe('a single fault', () => {
  test('with a worse severity is told with the reason', () => {
    const comparison = withFaults(lit, early);
    expect(lineOf(comparison, 'sensors.manifold_pressure')).toMatchObject({
      how: 'failed, substitute value used',
      severity: 'degrades → damages',
      text: expect.stringMatching(/The spark is \d+ deg too early at `\w+`\./),
      isSevere: true,
    });
    // The other way it is better, and better is not told.
    expect(linesOf(withFaults(early, lit))).toEqual([]);
  });

  test('that nothing shows any more is told, also if its severity is the same', () => {
    const comparison = withFaults(lit, complete);
    expect(lineOf(comparison, 'sensors.manifold_pressure')).toMatchObject({
      severity: 'degrades',
      text: 'Nothing shows it any more; before: outputs.fault_light.',
      isSevere: false,
    });
    expect(lineOf(comparison, 'sensors.oil_pressure')?.severity).toBe('announces → hidden');
    expect(linesOf(withFaults(complete, lit))).toEqual([]);
  });

  test('that the controller no longer detects is told, although the sensor fails in other ways then', () => {
    const lines = linesOf(withFaults(lit, unbounded)).filter(({ of }) => of === 'sensors.manifold_pressure');
    expect(lines.map(({ how }) => how).join()).toContain('reads the low end of its range');
    expect(lines.every(({ text }) => text.includes('The controller no longer detects it.'))).toBe(true);
  });

  test('is not worse because a sensor fails in another way, if it was as bad in one of the old ways', () => {
    // At the low end of its range it only degrades the engine; at the high end and at this substitute value the engine may stop.
    const cold = edited(lit, [
      ['4.9 V\n  charge_temperature:', '4.9 V\n    substitute: -40 °C\n  charge_temperature:'],
    ]);
    const ofCoolant = (text: string) =>
      faultTable(analysisOf(text).subject as EngineSubject)
        .filter(({ of, sensor }) => of === 'sensors.coolant_temperature' && sensor !== undefined)
        .map(({ fault, severity }) => `${fault} ${severity}`);
    expect(ofCoolant(lit)).toEqual(['low degrades', 'high stops']);
    expect(ofCoolant(cold)).toEqual(['substitute stops']);
    expect(lineOf(withFaults(lit, cold), 'sensors.coolant_temperature')).toBeUndefined();
    // The way at the low end is better than that, and the one at the high end no worse.
    expect(lineOf(withFaults(cold, lit), 'sensors.coolant_temperature')).toBeUndefined();
  });

  test('of a part that is new, renamed or moved is not worse', () => {
    expect(linesOf(withFaults(edited(lit, [['  egt_1: {', '  # egt_1: {']]), lit))).toEqual([]);
    const renamed = edited(lit, [['  oil_pressure:\n    measures', '  oil_psi:\n    measures']]);
    expect(linesOf(withFaults(lit, renamed))).toEqual([]);
  });

  test('asks for a look, and counts in the verdict', () => {
    const { changes, consequences } = withFaults(lit, early);
    const faults = consequences.filter((one) => one.type === 'fault');
    const tally = tallyOf({ changes, consequences: faults });
    expect(verdictOf(tally)).toBe('look');
    expect(verdictText(tally)).toMatch(/^\d+ single faults? made worse; 1 change\.$/);
  });
});

test('without a request there are no faults, as for the review of every keystroke', () => {
  const { consequences } = compareAnalyses(analysisOf(lit), analysisOf(early));
  expect(consequences.filter((one) => one.type === 'fault')).toEqual([]);
});

describe('the tables are computed', () => {
  const countOf = (was: Analysis | undefined, is: Analysis | undefined): number => {
    vi.mocked(faultTable).mockClear();
    compareAnalyses(was, is, () => false);
    return vi.mocked(faultTable).mock.calls.length;
  };
  const old = analysisOf(lit);

  test('only for a change of what they depend on', () => {
    for (const [from, to] of [
      ['title: ', 'title: Other '],
      ['revision: ', 'revision: Other '],
    ] as const)
      expect(countOf(old, analysisOf(edited(lit, [[from, to]]))), from).toBe(0);
    expect(countOf(old, analysisOf(`${lit}# a comment\n`))).toBe(0);
    expect(countOf(old, analysisOf(early))).toBe(2);
    expect(countOf(old, analysisOf(complete))).toBe(2);
  });

  test('for a change in the file of either controller', () => {
    const standby = readFileSync(new URL('../fixtures/standby.controller.yaml', import.meta.url), 'utf8');
    const withController = (file: string, text: string) =>
      analyse(
        projectOf(
          new Map([
            [
              'a.engine.yaml',
              edited(lit, [['\nengine:', '\nstandby: { controller: ./standby.controller.yaml }\nengine:']]),
            ],
            ['standby.controller.yaml', standby],
            ['complete.controller.yaml', completeController],
            [file, text],
          ]),
        ),
        '/installation/a.engine.yaml',
      )!;
    const before = withController('none.controller.yaml', '');
    expect(before.files).toHaveLength(3);
    expect(countOf(before, withController('none.controller.yaml', ''))).toBe(0);
    expect(countOf(before, withController('standby.controller.yaml', `${standby}# other\n`))).toBe(2);
    expect(
      countOf(before, withController('complete.controller.yaml', `${completeController}# other\n`)),
    ).toBe(2);
  });

  test('not for a file that is new or removed', () => {
    expect(countOf(undefined, old)).toBe(0);
    expect(countOf(old, undefined)).toBe(0);
  });

  test('from no other sections than those that are looked at', () => {
    const { subject } = analysisOf(`${lit}\n`);
    const { reads } = trackReads(() => faultTable(subject as EngineSubject));
    // The configuration of a map set is a copy, for which every key is read.
    const copied = ['enginefile', 'title', 'revision', 'controller'];
    const others = ['which map sets there are', 'the controller file', 'the text', 'departures'];
    const known = new Set<string>([...READ_BY_FAULTS, ...copied, ...others]);
    expect([...reads].filter((part) => !known.has(part))).toEqual([]);
    expect(reads).toContain('outputs');
  });
});

describe('every format', () => {
  const run = async (format: string, ...more: string[]) =>
    enginewright('compare', ...twoStates(lit, early), '--format', format, '--time', '0', ...more);

  test.each(['text', 'markdown', 'html', 'github', 'junit', 'sarif', 'json'])(
    '%s shows it',
    async (format) => {
      const { out } = await run(format);
      expect(out).toContain('sensors.manifold_pressure');
      expect(out).toMatch(/degrades → damages|"severity": "damages"/);
    },
  );

  test('JSON has both states', async () => {
    const { consequences } = await compared(...twoStates(lit, early), '--time', '0');
    expect(
      consequences.find(({ type, of }) => type === 'fault' && of === 'sensors.manifold_pressure'),
    ).toMatchObject({
      fault: 'substitute',
      old: { severity: 'degrades', noticed: true, told_by: ['outputs.fault_light'] },
      new: { severity: 'damages', noticed: true },
      more_severe: true,
      unnoticed: false,
    });
  });

  test('SARIF and JUnit remain valid', async () => {
    const log = JSON.parse((await run('sarif')).out) as SarifLog;
    expect(sarifFaults(log)).toEqual([]);
    const worse = log.runs[0].results.filter(({ ruleId }) => ruleId === 'fault-worse');
    expect(worse.length).toBeGreaterThan(0);
    for (const { level } of worse) expect(level).toBe('warning');
    const { out } = await run('junit', '--fail-on', 'warning');
    for (const [, schema] of junitSchemas) expect(await xmlFaults(out, schema)).toEqual([]);
    expect(out).toMatch(/<failure[^>]*Single fault of sensors\.manifold_pressure/);
  });

  test('the gate counts it as a warning', async () => {
    const states = twoStates(lit, complete);
    const only = async (...more: string[]) =>
      (await enginewright('compare', ...states, '--format', 'github', '--time', '0', ...more)).status;
    expect(await only()).toBe(0);
    expect(await only('--fail-on', 'warning')).toBe(1);
  });
});
