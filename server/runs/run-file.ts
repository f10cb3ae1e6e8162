import { dirname, resolve } from 'node:path';
import type { RunConfiguration } from '../../generated/configuration.ts';
import { type Analysis, analyse, analyseBriefly } from '../../shared/analysis.ts';
import { runEngineMissing } from '../../shared/checks/runs.ts';
import { createProject, fileKind, resolvePath } from '../../shared/configuration/project.ts';
import { splitRevision } from '../../shared/configuration/run.ts';
import { UsageError } from '../commands/command.ts';
import type { EngineAnalysis } from '../commands/engine-file.ts';
import { diskProject, projectPath, refusalOf } from '../files.ts';
import { openRepository, pathFromTop } from '../git.ts';

/** A run file, and the engine file that it names. */
export interface RunFile {
  readonly name: string;
  readonly path: string;
  readonly analysis: Analysis;
  readonly configuration: RunConfiguration;
  readonly engine: EngineAnalysis;
  /** The path of the data. */
  readonly data: string;
}

/**
 * Reads a run file. Throws a `UsageError` that says why it cannot be used. The editor's server runs no other program, so there
 * git is not asked for an engine file at a commit.
 */
export function openRun(name: string, asksGit = true): RunFile {
  const refusal = refusalOf(name);
  if (refusal) throw new UsageError(refusal);
  if (fileKind(name) !== 'run') throw new UsageError(`${name} is not a run file (*.run.yaml).`);
  const path = projectPath(name);
  const analysis = analyse(diskProject([name]), path);
  if (!analysis?.run) throw new UsageError(`${name} cannot be read.`);
  // Whoever runs this command decides which engine file is read; why one cannot be read is said below.
  const errors = analysis.findings.filter(
    ({ severity, rule }) => severity === 'error' && rule !== runEngineMissing.id,
  );
  const [first] = errors;
  if (first) {
    const line = analysis.file.lines.position(first.start).line + 1;
    const more =
      errors.length > 1 ? ` Run \`enginewright check ${name}\` for all ${errors.length} errors.` : '';
    throw new UsageError(`${name}:${line}: ${first.message}${more}`);
  }
  const configuration = analysis.run;
  return {
    ...{ name, path, analysis, configuration },
    engine: engineOf(name, path, configuration.engine!.text, asksGit),
    data: resolve(dirname(path), configuration.data!.text),
  };
}

/** The engine file that a run names, on disk or at a commit. */
function engineOf(name: string, path: string, reference: string, asksGit: boolean): EngineAnalysis {
  const { revision, path: wanted } = splitRevision(reference);
  if (revision !== undefined && !asksGit)
    throw new UsageError(
      `${reference} is at a commit; only the command line reads it: \`enginewright runs ${name}\`.`,
    );
  const found = revision === undefined ? onDisk(name, path, wanted) : atCommit(path, revision, wanted);
  // Findings about the engine are not asked for, and to search its bounds takes longer than to read a run.
  const analysis = analyseBriefly(found.project, found.path);
  if (!analysis?.installation || !analysis.derivation)
    throw new UsageError(`${name}: the engine file ${reference} cannot be read.`);
  const { installation, derivation } = analysis;
  return { ...analysis, installation, derivation };
}

function onDisk(name: string, path: string, wanted: string) {
  const engine = resolvePath(path, wanted);
  const refusal = refusalOf(engine);
  if (refusal) throw new UsageError(`${name}: ${refusal}`);
  return { project: diskProject([name, engine]), path: engine };
}

function atCommit(path: string, revision: string, wanted: string) {
  const folder = dirname(path);
  const repository = openRepository(folder);
  const commit = repository.commit(revision);
  const { top } = repository;
  const engine = `${top}/${pathFromTop(repository, wanted)}`;
  const project = createProject((file) =>
    file.startsWith(`${top}/`) ? repository.read(commit, file.slice(top.length + 1)) : undefined,
  );
  return { project, path: engine };
}
