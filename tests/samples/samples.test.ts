import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { brakeMeanEffectivePressure, estimatedPower, injectorDuty } from '../../shared/derived/fuel.ts';
import { formatEdits } from '../../shared/source/format.ts';
import { SAMPLES, sampleNames, sampleText } from '../support/samples.ts';

const project = createProject((path) => {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return undefined;
  }
});

const broken = sampleNames.filter((name) => name.startsWith('broken/'));
const complete = sampleNames.filter((name) => !broken.includes(name));

const analysisOf = (name: string): Analysis => analyse(project, SAMPLES + name)!;
const grave = ({ findings }: Analysis): Finding[] =>
  findings.filter(({ severity }) => severity === 'error' || severity === 'warning');

describe('a complete installation', () => {
  test.each(complete)('%s has no error and no warning', (name) => {
    expect(
      grave(analysisOf(name)).map(({ rule, path, message }) => `${rule} at ${path}: ${message}`),
    ).toEqual([]);
  });

  test.each(sampleNames)('%s says that it is invented', (name) => {
    expect(sampleText(name)).toMatch(/^# Invented/);
  });

  test.each(sampleNames)('%s stands as formatting leaves it', (name) => {
    expect(formatEdits(analysisOf(name).file)).toEqual([]);
  });

  const engines = complete.filter((name) => name.endsWith('.engine.yaml'));
  test.each(engines)('%s has plausible values at every operating point', (name) => {
    const { derivation, installation } = analysisOf(name);
    const boosted = installation!.configuration.boost !== undefined;
    expect(derivation!.points.length).toBeGreaterThanOrEqual(4);
    for (const point of derivation!.points) {
      const bar = point.get(brakeMeanEffectivePressure)!.canonical / 1e5;
      expect(bar, `mean pressure at ${point.name}`).toBeGreaterThan(1);
      expect(bar, `mean pressure at ${point.name}`).toBeLessThan(boosted ? 17 : 11);
      expect(point.get(injectorDuty)!.canonical, `duty at ${point.name}`).toBeLessThan(0.8);
    }
  });

  test.each(engines)('%s gives its rated power at take-off', (name) => {
    const { derivation, installation } = analysisOf(name);
    const takeOff = derivation!.points.find((point) => point.name === 'take_off')!;
    const rated = installation!.configuration.engine!.rated_power!.canonical;
    expect(Math.abs(takeOff.get(estimatedPower)!.canonical / rated - 1)).toBeLessThan(0.05);
  });
});

describe('a broken one', () => {
  test.each(broken)('%s shows what its header names, and nothing else', (name) => {
    const [, names] = /^# expect: (.+)$/m.exec(sampleText(name))!;
    const expected = names!.split(', ').sort();
    expect([...new Set(grave(analysisOf(name)).map(({ rule }) => rule))].sort()).toEqual(expected);
  });
});
