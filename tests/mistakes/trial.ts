import { readFileSync } from 'node:fs';
import { type Analysis, analyse, analyseBriefly, searched } from '../../shared/analysis.ts';

import type { Finding } from '../../shared/checks/finding.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { finished } from '../../shared/proof/search.ts';
import { type Change, type Mistake, pathNamed } from './mistake.ts';
import { resampled } from './resample.ts';
import { changed, isNear, placesOf } from './seed.ts';

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

/** The check and the key path of a finding, as `false-alarms.yaml` names it. */
export const alarmName = ({ rule, path }: Finding): string => `${rule} at ${path}`;

/** What the checks make of a mistake. */
export interface Outcome {
  /** Warnings and errors at or beside its place. */
  readonly near: readonly Finding[];
  /** Warnings and errors elsewhere. */
  readonly elsewhere: readonly Finding[];
}

/**
 * Analyses a sound file with a mistake in it. Throws if the mistake does not apply. Unless `whole`, checks that search bounds
 * do not run if another one finds the mistake.
 */
export function outcomeOf(mistake: Mistake, { whole = false } = {}): Outcome {
  const places = placesOf(mistake);
  const isAtPlace = ({ path }: Finding) => places.some((place) => isNear(path, place));
  const findings = findingsAfter(mistake, (brief) => whole || !brief.some(isAtPlace));
  return {
    near: findings.filter(isAtPlace),
    elsewhere: findings.filter((finding) => !isAtPlace(finding)),
  };
}

/**
 * The new warnings and errors after a change of a sound file. Checks that search bounds run only if the findings of all others
 * are not enough.
 */
export function findingsAfter(
  change: Change,
  needsMore: (brief: readonly Finding[]) => boolean = () => true,
): readonly Finding[] {
  const path = pathNamed(change.file ?? change.engine);
  return findingsWith(change.engine, path, (text) => changed(path, text, change), needsMore);
}

/** The warnings and errors of a sound file with its maps on other axes, of checks that are silent without. */
export function findingsOnOtherAxes(engine: string, seed: number): readonly Finding[] {
  const path = pathNamed(engine);
  const known = new Set(graveFindings(soundAnalysis(engine)).map(({ rule }) => rule));
  const findings = findingsWith(
    engine,
    path,
    (text) => resampled(path, text, seed),
    () => true,
  );
  return findings.filter(({ rule }) => !known.has(rule));
}

function findingsWith(
  engine: string,
  path: string,
  textAfter: (text: string) => string,
  needsMore: (brief: readonly Finding[]) => boolean,
): readonly Finding[] {
  const before = soundAnalysis(engine);
  const text = project.source(path)!.text;
  const old = new Set(graveFindings(before).map(alarmName));
  const fresh = (analyses: readonly Analysis[]) =>
    analyses.flatMap(graveFindings).filter((finding) => !old.has(alarmName(finding)));
  project.rewrite(path, [{ text: textAfter(text) }]);
  try {
    const analysed = [...new Set([before.file.path, path])];
    const analyses = analysed.map(
      (one) => analyseBriefly(project, one, one === before.file.path ? before : undefined)!,
    );
    const brief = fresh(analyses);
    return needsMore(brief) ? fresh(analyses.map((one) => finished(searched(one)))) : brief;
  } finally {
    project.rewrite(path, [{ text }]);
  }
}
