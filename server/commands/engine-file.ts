import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { Installation } from '../../shared/configuration/installation.ts';
import { fileKind, type Project } from '../../shared/configuration/project.ts';
import type { Derivation } from '../../shared/derived/derivation.ts';
import { diskProject, projectPath, refusalOf } from '../files.ts';
import { UsageError } from './command.ts';

/** The analysis of an engine file, which has an installation and derived values. */
export interface EngineAnalysis extends Analysis {
  readonly installation: Installation;
  readonly derivation: Derivation;
}

/**
 * The analysis of the one engine file that a command works on. Throws a `UsageError` for a file that cannot be read or is not an engine file.
 */
export function engineAnalysis(name: string, command: string): EngineAnalysis {
  const { project, path } = engineProject(name, command);
  return wholeAnalysis(project, path, name);
}

/** The files around the one engine file that a command works on, and its path. Throws like `engineAnalysis`. */
export function engineProject(name: string, command: string): { project: Project; path: string } {
  const refusal = refusalOf(name);
  if (refusal) throw new UsageError(refusal);
  if (fileKind(name) !== 'engine') {
    throw new UsageError(
      `${name} is a ${fileKind(name)} file; \`${command}\` takes an engine file (*.engine.yaml).`,
    );
  }
  return { project: diskProject([name]), path: projectPath(name) };
}

/** The analysis of the engine file at a path of a project. Throws a `UsageError` with its name if there is none. */
export function wholeAnalysis(project: Project, path: string, name: string): EngineAnalysis {
  const analysis = analyse(project, path);
  const { installation, derivation } = analysis ?? {};
  if (!analysis || !installation || !derivation) throw new UsageError(`${name} cannot be read.`);
  return { ...analysis, installation, derivation };
}
