import { type Analysis, analyse } from '../../shared/analysis.ts';
import type { Installation } from '../../shared/configuration/installation.ts';
import { fileKind } from '../../shared/configuration/project.ts';
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
  const refusal = refusalOf(name);
  if (refusal) throw new UsageError(refusal);
  if (fileKind(name) !== 'engine') {
    throw new UsageError(
      `${name} is a ${fileKind(name)} file; \`${command}\` takes an engine file (*.engine.yaml).`,
    );
  }
  const analysis = analyse(diskProject([name]), projectPath(name));
  if (!analysis?.installation || !analysis.derivation) throw new UsageError(`${name} cannot be read.`);
  const { installation, derivation } = analysis;
  return { ...analysis, installation, derivation };
}
