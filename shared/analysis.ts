import type { Subject } from './checks/check.ts';
import type { Finding } from './checks/finding.ts';
import { type Accepted, runChecks } from './checks/run.ts';
import { type Installation, readController, readInstallation } from './configuration/installation.ts';
import { type FileKind, fileKind, type Project } from './configuration/project.ts';
import { rootShape } from './configuration/schemas.ts';
import { Derivation } from './derived/derivation.ts';
import type { SourceFile } from './source/source-file.ts';

/** Everything that is known about one file. Every face shows this and computes nothing itself. */
export interface Analysis {
  readonly kind: FileKind;
  readonly file: SourceFile;
  /** Every file that the analysis read, this one first. */
  readonly files: readonly SourceFile[];
  readonly subject: Subject;
  readonly installation: Installation | undefined;
  readonly derivation: Derivation | undefined;
  readonly findings: readonly Finding[];
  readonly accepted: readonly Accepted[];
}

/** Analyses a file of the project; undefined where there is no such file or it is none of ours. Never throws. */
export function analyse(project: Project, path: string): Analysis | undefined {
  const kind = fileKind(path);
  const file = kind && project.source(path);
  if (!kind || !file) return undefined;
  const subject = kind === 'engine' ? engineSubject(project, file) : controllerSubject(file);
  const files = subject.installation?.files ?? [file];
  const { findings, accepted } = runChecks(subject, files);
  const { installation, derivation } = subject;
  return { kind, file, files, subject, installation, derivation, findings, accepted };
}

function engineSubject(project: Project, file: SourceFile): Subject {
  const installation = readInstallation(project, file);
  const own = <Located extends { node: { chunk: { file: string } } }>(one: Located) =>
    one.node.chunk.file === file.path;
  return {
    file,
    rootShape: rootShape('engine'),
    syntax: file.faults,
    structure: installation.structure,
    binding: installation.binding.faults.filter((fault) => fault.type === 'missing-key' || own(fault)),
    readings: installation.binding.readings.filter(own),
    links: installation.links,
    installation,
    derivation: new Derivation(installation),
    controller: installation.controller,
  };
}

function controllerSubject(file: SourceFile): Subject {
  const { configuration, binding, structure } = readController(file);
  return {
    file,
    rootShape: rootShape('controller'),
    syntax: file.faults,
    structure,
    binding: binding.faults,
    readings: binding.readings,
    links: [],
    installation: undefined,
    derivation: undefined,
    controller: configuration,
  };
}
