import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';

const COMPLETE = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');
const CONTROLLER = readFileSync(new URL('../fixtures/complete.controller.yaml', import.meta.url), 'utf8');
const OVERLAY = 'enginefile: 1\nbased_on: ./base.engine.yaml\n';

/** The findings of an overlay that changes nothing, by rule, with the text that each underlines. */
function overlayFindings(base: string) {
  const texts: Record<string, string> = {
    '/i/base.engine.yaml': base,
    '/i/top.engine.yaml': OVERLAY,
    '/i/complete.controller.yaml': CONTROLLER,
  };
  const analysis = analyse(
    createProject((path) => texts[path]),
    '/i/top.engine.yaml',
  )!;
  return {
    accepted: analysis.accepted.map(({ finding, reason }) => [finding.rule, reason]),
    shown: analysis.findings.map(({ rule, start, end, related }) => ({
      rule,
      underlined: OVERLAY.slice(start, end),
      written: related[0]?.file,
    })),
  };
}

describe('a finding in the file that an overlay is based on', () => {
  const pump = COMPLETE.replace('pump_flow: 110 L/h', 'pump_flow: 34 L/h');

  test('is shown where the overlay names that file, and leads there', () => {
    expect(overlayFindings(pump).shown).toEqual([
      { rule: 'pump-margin', underlined: './base.engine.yaml', written: '/i/base.engine.yaml' },
    ]);
  });

  test('is accepted where it is written', () => {
    const accepting = pump.replace(
      /^( *)(pump_flow:)/m,
      '$1# accept pump-margin: two pumps run at take-off\n$1$2',
    );
    const { shown, accepted } = overlayFindings(accepting);
    expect(shown).toEqual([]);
    expect(accepted).toEqual([['pump-margin', 'two pumps run at take-off']]);
  });

  test('is left to that file where it is only worth knowing', () => {
    const base = COMPLETE.replace('pressure: 3.0 bar\n', 'pressure: 3.5 bar\n');
    expect(base).not.toBe(COMPLETE);
    expect(overlayFindings(base).shown).toEqual([]);
  });
});

describe('what a finding says of its place', () => {
  const text = `enginefile: 1
based_on: ./base.engine.yaml
fuel: { rail: { pressure: 0.5 bar, pump_flow: 110 Lh } }
engine: { bor: 84 mm }
`;
  const texts: Record<string, string> = {
    '/i/base.engine.yaml': COMPLETE,
    '/i/top.engine.yaml': text,
    '/i/complete.controller.yaml': CONTROLLER,
  };
  const { findings } = analyse(
    createProject((path) => texts[path]),
    '/i/top.engine.yaml',
  )!;
  const named = (rule: string) => findings.find((finding) => finding.rule === rule);

  test('findings stand in the order of the text, those of one place by the names of their checks', () => {
    const own = findings.filter(({ writtenAt }) => !writtenAt);
    expect(own.map(({ rule, start, end }) => [rule, text.slice(start, end)])).toEqual([
      ['rail-pressure-differs-from-rated', '0.5 bar'],
      ['suspicious-magnitude', '0.5 bar'],
      ['unit-unknown', 'Lh'],
      ['unknown-key', 'bor'],
    ]);
    const starts = findings.map(({ start }) => start);
    expect(starts).toEqual([...starts].sort((a, b) => a - b));
  });

  test('a key has the path of what it names, a value its own', () => {
    expect(named('unknown-key')).toMatchObject({ path: 'engine.bor' });
    expect(named('suspicious-magnitude')).toMatchObject({ path: 'fuel.rail.pressure' });
  });

  test('a part of a value has the path of the value', () => {
    expect(named('unit-unknown')).toMatchObject({ path: 'fuel.rail.pump_flow' });
  });

  test('a finding in the base is shown at the key of the overlay that takes part, with its place first', () => {
    const finding = named('fault-pressure-not-below-pressure')!;
    expect(finding).toMatchObject({ file: '/i/top.engine.yaml', path: 'fuel.rail.pressure' });
    const { writtenAt, related } = finding;
    const read = (place: typeof writtenAt) => place && texts[place.file]!.slice(place.start, place.end);
    expect(read(writtenAt)).toBe('2.4 bar');
    expect(related[0]).toEqual({ ...writtenAt, message: '`fuel.rail.fault_pressure` in the base file.' });
    expect(related[1]).toMatchObject({ file: '/i/top.engine.yaml' });
    expect(read(related[1])).toBe('0.5 bar');
  });
});
