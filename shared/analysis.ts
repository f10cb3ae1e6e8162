import type { Subject } from './checks/check.ts';
import type { Accepted, Finding } from './checks/finding.ts';
import { type Asked, runChecks } from './checks/run.ts';
import { trackedInstallation, trackedSubject } from './checks/subject.ts';
import { placedTables } from './checks/tables.ts';
import { isLeaf, readingOf } from './configuration/bind.ts';
import { type Installation, readController, readInstallation } from './configuration/installation.ts';
import { type FileKind, fileKind, type Project } from './configuration/project.ts';
import { allReadings, type Reading } from './configuration/readings.ts';
import { rootShape } from './configuration/schemas.ts';
import { shapeAt } from './configuration/shape.ts';
import { Derivation } from './derived/derivation.ts';
import { memo } from './memo.ts';
import type { SourceFile } from './source/source-file.ts';
import { type Node, nodeAtPath, pathOf } from './source/tree.ts';

/** Everything that is known about one file. Every face shows this and computes nothing itself. */
export interface Analysis {
  readonly kind: FileKind;
  readonly file: SourceFile;
  /** Every file that the analysis read, this one first. */
  readonly files: readonly SourceFile[];
  readonly subject: Subject;
  readonly installation: Installation | undefined;
  readonly derivation: Derivation | undefined;
  /** All of them; a list for people is `capped`. */
  readonly findings: readonly Finding[];
  readonly accepted: readonly Accepted[];
  /** What each check was asked, for the next analysis of this file. */
  readonly asked: Asked;
}

/**
 * Analyses a file of the project; undefined where there is no such file or it is none of ours. Never throws. After an
 * edit, the earlier analysis of the file spares the checks that looked at nothing that has changed since.
 */
export function analyse(project: Project, path: string, earlier?: Analysis): Analysis | undefined {
  const kind = fileKind(path);
  const file = kind && project.source(path);
  if (!kind || !file) return undefined;
  const subject =
    kind === 'engine' ? engineSubject(project, file, earlier?.derivation) : controllerSubject(file);
  const files = subject.installation?.files ?? [file];
  const { findings, accepted, asked } = runChecks(subject, files, earlier?.asked);
  const { installation, derivation } = subject;
  return { kind, file, files, subject, installation, derivation, findings, accepted, asked };
}

/** What stands in the file itself of everything that was read for it; listed when somebody asks. */
export const readingsOf = ({ subject }: Analysis): readonly Reading[] => listed(subject);

/** What a place of the file was read as; undefined where it was not or could not be read. */
export function readingAt({ kind, file }: Analysis, node: Node): Reading | undefined {
  const path = pathOf(node);
  // Of a key that stands twice the first is read, though the other may have been the only one before an edit.
  if (nodeAtPath(file.root, path) !== node) return undefined;
  const shapes = path.map((_, i) => shapeAt(rootShape(kind), path.slice(0, i + 1)));
  const shape = shapes.pop();
  // What stands inside a table or a relation is read as a part of it.
  return shape && !shapes.some((around) => around && isLeaf(around)) ? readingOf(shape, node) : undefined;
}

const listed = memo(({ read, path }: Subject) =>
  allReadings(read).filter(({ node }) => node.chunk.file === path),
);

function engineSubject(project: Project, file: SourceFile, before: Derivation | undefined): Subject {
  const installation = trackedInstallation(readInstallation(project, file));
  return trackedSubject({
    file,
    path: file.path,
    rootShape: rootShape('engine'),
    syntax: file.faults,
    structure: installation.structure,
    // A value of the base that nothing lies over and nobody can read is missing here as much as there.
    binding: installation.binding.faults,
    read: installation.binding.readings,
    tables: placedTables(installation.binding.readings, undefined),
    links: installation.links,
    installation,
    derivation: new Derivation(installation, before),
    controller: installation.controller,
  });
}

function controllerSubject(file: SourceFile): Subject {
  const { configuration, binding, structure } = readController(file);
  return trackedSubject({
    file,
    path: file.path,
    rootShape: rootShape('controller'),
    syntax: file.faults,
    structure,
    binding: binding.faults,
    read: binding.readings,
    tables: placedTables(binding.readings, undefined),
    links: [],
    installation: undefined,
    derivation: undefined,
    controller: configuration,
  });
}
