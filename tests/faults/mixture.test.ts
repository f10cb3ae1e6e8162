import { describe, expect, test } from 'vitest';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { consequenceAt, type FaultLimits, leanestUnderFault } from '../../shared/checks/fault-dangers.ts';
import { singleFaultBeyondLimit } from '../../shared/checks/protection-faults.ts';
import { passes } from '../../shared/checks/threshold.ts';
import { thresholdsOf } from '../../shared/checks/thresholds.ts';
import { usualMixture } from '../../shared/checks/usual-mixture.ts';
import { sensorFaults } from '../../shared/derived/faults.ts';
import { effect, tableOf } from './rows.ts';

const cruise = (pressure: number, lambda: number) =>
  `operating_points: { cruise: { manifold_pressure: ${pressure} kPa abs, lambda: ${lambda} } }\n`;
const reads = (pressure: number) => `sensors: { manifold_pressure: { substitute: ${pressure} kPa abs } }\n`;

describe('a mixture is judged at the pressure at which it burns', () => {
  // 1.05 · 70 / 55 is about 1.34, above 1.15; at the pressure of the compressor even 1.05 would be too lean.
  test('so a lean cruise that becomes leaner damages, although boost runs away', () => {
    const { row } = tableOf(`remove: [operating_points.take_off]\n${cruise(70, 1.05)}${reads(55)}`);
    const { severity, reasons, effects } = row('sensors.manifold_pressure');
    expect(severity).toBe('damages');
    const { value, pressure } = effects.find(({ id, point }) => id === 'lambda' && point === 'cruise')!;
    expect(pressure).toBe(70000);
    expect(value.canonical).toBeGreaterThan(1.15);
    expect(reasons.join('\n')).toMatch(/^Lambda is \d\.\d+ at `\w+`, above the limit of/m);
    const runaway = effect(row('sensors.manifold_pressure'), 'lambda_at_compressor_limit', 'cruise')!;
    expect(runaway.pressure).toBeGreaterThan(140000);
    expect(reasons.join('\n')).toMatch(/^Lambda at the pressure of the compressor limit is/m);
  });

  test.each([
    [70, 1.05, 55],
    [70, 1.05, 68],
    [70, 1.2, 55],
    [90, 1.0, 80],
    [105, 0.95, 95],
    [105, 1.0, 100],
    [130, 0.9, 120],
    [130, 1.05, 130],
  ])(
    'so it agrees with the check of single faults: %d kPa, lambda %d, substitute %d kPa',
    (at, lambda, substitute) => {
      const { analysis, rows } = tableOf(cruise(at, lambda) + reads(substitute));
      const subject = analysis.subject as EngineSubject;
      const limits = thresholdsOf(singleFaultBeyondLimit, subject) as FaultLimits;
      const leanestAt = (pressure: number | undefined) =>
        leanestUnderFault(limits, usualMixture(subject).leanest, pressure);
      let judged = 0;
      for (const fault of sensorFaults(subject.installation)) {
        const row = rows.find(({ of, fault: way }) => of === `sensors.${fault.name}` && way === fault.case)!;
        if (row.severity === 'stops') continue;
        const isLean = subject.derivation.points.some((point) => {
          const what = consequenceAt(point, fault);
          const wasLean = passes(what.soundLambda, leanestAt(what.soundPressure));
          return !wasLean && passes(what.lambda, leanestAt(what.pressure));
        });
        const isReported = row.reasons.some((reason) => /^Lambda is .* above the limit/.test(reason));
        expect(isReported, `${fault.name} ${fault.case}`).toBe(isLean);
        judged++;
      }
      expect(judged).toBeGreaterThan(3);
    },
  );
});
