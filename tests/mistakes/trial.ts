import { readFileSync } from 'node:fs';
import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { type Mistake, mistakes, pathNamed } from './mistake.ts';
import { isNear, seed } from './seed.ts';

const project = createProject((path) => {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return undefined;
  }
});

/** The warnings and errors of an analysis. */
export const graveFindings = (analysis: Analysis): Finding[] =>
  analysis.findings.filter(({ severity }) => severity === 'error' || severity === 'warning');

export const inWords = ({ severity, rule, path, message }: Finding): string =>
  `${severity} ${rule} at ${path}: ${message}`;

const sound = new Map<string, Analysis>();

/** The analysis of a file as it is on disk. */
export function soundAnalysis(name: string): Analysis {
  const path = pathNamed(name);
  const known = sound.get(path);
  if (known) return known;
  const analysis = analyse(project, path)!;
  sound.set(path, analysis);
  return analysis;
}

/** What the checks make of a mistake. */
export interface Outcome {
  readonly mistake: Mistake;
  /** Warnings and errors at or beside its place. */
  readonly near: readonly Finding[];
  /** Warnings and errors elsewhere. */
  readonly elsewhere: readonly Finding[];
}

/** Analyses a sound file with a mistake in it. Throws if the mistake does not apply. */
export function outcomeOf(mistake: Mistake): Outcome {
  const before = soundAnalysis(mistake.engine);
  const path = pathNamed(mistake.file ?? mistake.engine);
  const text = project.source(path)!.text;
  const seeded = seed(path, text, mistake);
  project.rewrite(path, [{ text: seeded.text }]);
  try {
    const analyses = [analyse(project, before.file.path, before)!];
    if (mistake.file?.endsWith('.controller.yaml')) analyses.push(analyse(project, path)!);
    const findings = analyses.flatMap(graveFindings);
    const isAtPlace = (finding: Finding) => seeded.near.some((place) => isNear(finding.path, place));
    return {
      mistake,
      near: findings.filter(isAtPlace),
      elsewhere: findings.filter((finding) => !isAtPlace(finding)),
    };
  } finally {
    project.rewrite(path, [{ text }]);
  }
}

export const allOutcomes = (): Outcome[] => mistakes.map(outcomeOf);
