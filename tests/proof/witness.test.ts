import { describe, expect, test } from 'vitest';
import { diskProject } from '../../server/files.ts';
import { analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { injectorDuty, injectorPulseWidth } from '../../shared/derived/fuel.ts';
import type { PointValue } from '../../shared/derived/operating-point.ts';
import { proofOf } from '../../shared/proof/proof.ts';
import { applyFix } from '../support/fixture.ts';
import { SAMPLES } from '../support/samples.ts';

/** A sample with a limit that it breaks; the fix of the finding is applied, and the new operating point derived. */
const cases: readonly [
  sample: string,
  from: RegExp,
  to: string,
  check: string,
  name: string,
  value: PointValue,
][] = [
  [
    'dotterel/dotterel-16t',
    /maximum_duty: .*/,
    'maximum_duty: 62 %',
    'injector-duty-high',
    'highest_duty',
    injectorDuty,
  ],
  [
    'wheatear/wheatear-10',
    /maximum_duty: .*/,
    'maximum_duty: 70 %',
    'injector-duty-high',
    'highest_duty',
    injectorDuty,
  ],
  [
    'sanderling/sanderling-10t',
    /minimum_pulse: .*/,
    'minimum_pulse: 1.5 ms',
    'injector-below-minimum-pulse',
    'shortest_pulse',
    injectorPulseWidth,
  ],
];

describe('the operating point that a fix adds', () => {
  test.each(cases)('gives what the witness reached: %s', (sample, from, to, check, name, value) => {
    const path = `${SAMPLES}${sample}.engine.yaml`;
    const disk = diskProject([path]);
    const text = disk.source(path)!.text.replace(from, to);
    const analysisOf = (own: string) =>
      analyse(
        createProject((asked) => (asked === path ? own : disk.source(asked)?.text)),
        path,
      )!;
    const analysis = analysisOf(text);
    const finding = analysis.findings.find(({ rule }) => rule === check)!;
    const fix = finding.fixes.find(({ title }) => title === `Add this state as operating point \`${name}\``)!;
    const { derivation } = analysisOf(applyFix(analysis, fix));
    const side = value === injectorDuty ? 'high' : 'low';
    const { reached } = proofOf({}, analysis.derivation!).furthest(value.id, side)!;
    const derived = derivation!.point(name)!.number(value)!;
    expect(Math.abs(derived / reached - 1)).toBeLessThan(5e-4);
  });
});
