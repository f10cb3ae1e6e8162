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
