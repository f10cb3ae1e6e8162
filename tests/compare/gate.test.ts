import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { enginewright, folderOf } from '../support/command-line.ts';
import { junitSchemas, xmlFaults } from '../support/junit.ts';
import { type SarifLog, sarifFaults } from '../support/sarif.ts';
import { complete, edited } from './pair.ts';
import { CONTROLLER, richer, twoStates, weaker } from './states.ts';

/** A smaller margin, but no finding. */
const tighter = edited(complete, [['static_flow: 340 cc/min', 'static_flow: 310 cc/min']]);
/** One error, accepted with a reason for every check that would report it. */
const settled = edited(weaker, [
  ['    static_flow', '    # accept injector-duty-over-100: flow <bench> & "card" 14\n    static_flow'],
]);

const run = async (format: string, was: string, is: string, ...more: string[]) => {
  const states = twoStates(was, is);
  return { states, ...(await enginewright('compare', ...states, '--format', format, ...more)) };
};

async function sarif(was: string, is: string, ...more: string[]) {
  const { status, out, err } = await run('sarif', was, is, ...more);
  const log = JSON.parse(out) as SarifLog;
  expect(sarifFaults(log)).toEqual([]);
  return { status, err, run: log.runs[0], results: log.runs[0].results };
}

describe('SARIF', () => {
  test('tells new findings as check does, and each limit that was passed, at its place', async () => {
    const { status, run, results } = await sarif(complete, weaker);
    expect(status).toBe(1);
    const line = weaker.split('\n').findIndex((one) => one.includes('static_flow')) + 1;
    expect(results.find(({ ruleId }) => ruleId === 'injector-duty-over-100')).toMatchObject({
      level: 'error',
      baselineState: 'new',
      locations: [{ physicalLocation: { region: { startLine: line } } }],
    });
    const passed = results.filter(({ ruleId }) => ruleId === 'limit-passed');
    expect(passed.length).toBeGreaterThan(0);
    for (const one of passed) {
      expect(one).toMatchObject({ level: 'error', locations: [{ physicalLocation: { region: {} } }] });
      expect(one.message).toMatchObject({
        text: expect.stringMatching(/ → .*margin .*now beyond the limit\.$/),
      });
    }
    for (const result of results) expect(run.tool.driver.rules[result.ruleIndex]!.id).toBe(result.ruleId);
    expect(new Set(results.map(({ partialFingerprints: { 'enginewright/v1': print } }) => print)).size).toBe(
      results.length,
    );
  });

  test('notes a limit that only came closer, and says nothing of one that moved away', async () => {
    const { status, results } = await sarif(complete, tighter);
    expect(status).toBe(0);
    expect(results.length).toBeGreaterThan(0);
    expect(new Set(results.map(({ ruleId, level }) => `${level} ${ruleId}`))).toEqual(
      new Set(['note limit-closer', 'note bound-closer', 'note bound-further']),
    );
    const wider = edited(complete, [['maximum_duty: 85 %', 'maximum_duty: 90 %']]);
    expect((await sarif(complete, wider)).results).toEqual([]);
  });

  test('says of a value that can not be told any more that nothing watches its limit', async () => {
    const lost = edited(complete, [['stroke: 55 mm', 'stroke: 55 kPa']]);
    const { results } = await sarif(complete, lost);
    expect(results.find(({ ruleId }) => ruleId === 'limit-untold')).toMatchObject({
      level: 'warning',
      message: { text: expect.stringContaining('not derived') },
    });
  });

  // Whatever limit the file states.
  test.each([
    ['  overboost_cut: 160 kPa abs\n', 'overboost cut'],
    ['    minimum_pulse: 1.1 ms\n', 'minimum pulse'],
    ['    pump_flow: 110 L/h\n', 'pump flow less the usual margin'],
    ['maximum_pressure_ratio: 2.3, ', 'compressor limit'],
  ])('and text say of a removed limit that it is gone: %j', async (text, label) => {
    const without = edited(complete, [[text, '']]);
    const { results } = await sarif(complete, without, '--time', '0');
    const removed = results.filter(({ ruleId }) => ruleId === 'limit-removed');
    expect(removed.length).toBeGreaterThan(0);
    const texts = removed.map(({ message }) => (message as { text: string }).text);
    expect(removed.every(({ level }) => level === 'warning')).toBe(true);
    for (const one of texts) expect(one).toMatch(/, limit removed, at (most|least) .*\(.*\)\.$/);
    expect(texts.some((one) => one.includes(`(${label})`))).toBe(true);
    const { out } = await run('text', complete, without, '--time', '0');
    expect(out).toMatch(/limit\s+removed/);
  });

  test('suppresses what is newly accepted, with the reason', async () => {
    const { results } = await sarif(weaker, settled);
    expect(results.find(({ ruleId }) => ruleId === 'injector-duty-over-100')).toMatchObject({
      baselineState: 'updated',
      suppressions: [{ kind: 'inSource', justification: 'flow <bench> & "card" 14' }],
    });
  });
});

describe('GitHub annotations', () => {
  test('stand at the lines of what is new', async () => {
    const { status, out } = await run('github', complete, weaker);
    expect(status).toBe(1);
    expect(out).toMatch(
      /^::error file=.*is\.engine\.yaml,line=\d+,.*title=injector-duty-over-100::new error: /m,
    );
    expect(out).toMatch(/^::error file=.*title=limit-passed::Injector duty/m);
    for (const line of out.trimEnd().split('\n')) expect(line).toMatch(/^::(error|warning|notice) /);
  });

  test('are none for a change that brings nothing', async () => {
    expect((await run('github', complete, richer)).out).not.toMatch(/^::(error|warning) /m);
    expect((await run('github', complete, complete)).out).toBe('');
  });
});

// The validator is a program of its own, which is slow to start.
describe.each(junitSchemas)('the JUnit schema %s', (_, schema) => {
  test.each([
    ['new errors and passed limits', complete, weaker],
    ['accepted findings', weaker, settled],
    ['no change', complete, complete],
    ['a change without consequences', complete, edited(complete, [['revision: A', 'revision: B']])],
  ])('takes %s', async (_, was, is) => {
    expect(await xmlFaults((await run('junit', was, is)).out, schema)).toEqual([]);
  });
});

test('JUnit fails where the run fails: for new findings, and for limits that were passed', async () => {
  const { out } = await run('junit', complete, weaker);
  expect(out).toMatch(/<testcase name="injector-duty-over-100 at [^"]*"[^>]*><failure/);
  expect(out).toMatch(/<testcase name="limit-passed: Injector duty at [^"]*"[^>]*><failure/);
  const rough = edited(complete, [['overboost_cut: 160 kPa abs', 'overboost_cut: 146.5 kPa abs']]);
  expect((await run('junit', complete, rough)).out).toContain('failures="0"');
  const strict = await run('junit', complete, rough, '--fail-on', 'warning');
  expect(strict.out).toMatch(/failures="[1-9]/);
});

// A removed limit and a lost value are warnings that do not fail the run.
test.each([
  ['nothing', complete],
  ['a smaller margin', tighter],
  ['a limit that was passed', weaker],
  ['the same, accepted for the duty only', settled],
  ['a new warning', edited(complete, [['overboost_cut: 160 kPa abs', 'overboost_cut: 146.5 kPa abs']])],
  ['a removed limit', edited(complete, [['  overboost_cut: 160 kPa abs\n', '']])],
  ['a value that is lost', edited(complete, [['stroke: 55 mm', 'stroke: 55 kPa']])],
  ['a fault no longer noticed', edited(complete, [['fault_outside: 0.2..4.8 V', 'fault_outside: 0..5 V']])],
])('JUnit has failures exactly when the status is 1: %s', async (_, is) => {
  for (const threshold of ['error', 'warning']) {
    const { status, out } = await run('junit', complete, is, '--fail-on', threshold);
    expect({ threshold, failures: /<failure/.test(out) }).toEqual({ threshold, failures: status === 1 });
  }
});

describe('a baseline', () => {
  /** A baseline of the new state, as `check` writes it. */
  async function baselined(was: string, is: string) {
    const states = twoStates(was, is);
    const baseline = join(dirname(states[1]), 'known.json');
    await enginewright('check', states[1], '--write-baseline', baseline);
    const compare = (...more: string[]) =>
      enginewright('compare', ...states, '--baseline', baseline, ...more);
    return { states, baseline, compare };
  }

  test('lets new findings pass that it lists, and says how many', async () => {
    const { compare } = await baselined(complete, weaker);
    const { status, out, err } = await compare();
    expect(status).toBe(0);
    expect(err).toMatch(/^enginewright: \d+ new findings? ignored \(listed in .*known\.json\)\.\n$/);
    expect(out).not.toContain('injector-duty-over-100');
    // The value exceeds the limit all the same, and the report says so.
    expect(out).toMatch(/now\s+beyond\s+the\s+limit/);
  });

  test('is told in SARIF as suppressed, and in JUnit as a remark', async () => {
    const { compare } = await baselined(complete, weaker);
    const log = JSON.parse((await compare('--format', 'sarif')).out) as SarifLog;
    expect(sarifFaults(log)).toEqual([]);
    expect(log.runs[0].results.find(({ ruleId }) => ruleId === 'injector-duty-over-100')).toMatchObject({
      suppressions: [{ kind: 'external' }],
    });
    const junit = (await compare('--format', 'junit')).out;
    expect(junit).toContain('listed in the baseline');
    expect(junit).not.toContain('<failure');
  });

  test('lets nothing pass that was changed since', async () => {
    const { states, compare } = await baselined(complete, weaker);
    writeFileSync(states[1], weaker.replace('static_flow: 120', 'static_flow: 119'));
    const { status, out } = await compare();
    expect(status).toBe(1);
    expect(out).toContain('injector-duty-over-100');
  });

  test('that cannot be used is refused', async () => {
    const folder = folderOf({ ...CONTROLLER, 'a.engine.yaml': complete, 'known.json': '{' });
    const file = join(folder, 'a.engine.yaml');
    const asked = enginewright('compare', file, file, '--baseline', join(folder, 'known.json'));
    expect(await asked).toMatchObject({ status: 2, out: '', err: expect.stringContaining('it is not JSON') });
  });
});
