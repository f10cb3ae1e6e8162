import type { RunConfiguration } from '../generated/configuration.ts';
import type { Pause, Subject } from './checks/check.ts';
import type { Accepted, Finding } from './checks/finding.ts';
import { type Asked, leftOut, runChecks, runSearches } from './checks/run.ts';
import { trackedInstallation, trackedSubject } from './checks/subject.ts';
import { placedTables } from './checks/tables.ts';
import { isLeaf, readingOf } from './configuration/bind.ts';
import { type Installation, readController, readInstallation } from './configuration/installation.ts';
import { type FileKind, fileKind, type Project } from './configuration/project.ts';
import { allReadings, type Reading } from './configuration/readings.ts';
import { readRun } from './configuration/run.ts';
import { rootShape } from './configuration/schemas.ts';
import { shapeAt } from './configuration/shape.ts';
import { Derivation } from './derived/derivation.ts';
import { memo } from './memo.ts';
import { finished } from './proof/search.ts';
import type { SourceFile } from './source/source-file.ts';
import { type MappingNode, type Node, nodeAtPath, pathOf } from './source/tree.ts';

/**
 * Everything that is known about one file. The editor, the command line and the reports show this and compute nothing
 * themselves.
 */
export interface Analysis {
  readonly kind: FileKind;
  readonly file: SourceFile;
  /** Every file that the analysis read, this one first. */
  readonly files: readonly SourceFile[];
  readonly subject: Subject;
  readonly installation: Installation | undefined;
  readonly derivation: Derivation | undefined;
  /** The contents of a run file. */
  readonly run: RunConfiguration | undefined;
  /** All findings; `capped` shortens the list for display. */
  readonly findings: readonly Finding[];
  readonly accepted: readonly Accepted[];
  /** What each check found and which parts it read, for reuse by the next analysis of this file. */
  readonly asked: Asked;
}

/**
 * Analyses a file of the project. Returns undefined if the file does not exist or is not an engine, controller or run file.
 * Never throws. If the earlier analysis of the same file is given, only the checks that read something that has changed since then
 * run again.
 */
export function analyse(project: Project, path: string, earlier?: Analysis): Analysis | undefined {
  const analysis = analyseBriefly(project, path, earlier);
  return analysis && finished(searched(analysis));
}

/** Like `analyse`, but leaves out the checks that would have to search bounds; `searched` runs them. */
export function analyseBriefly(project: Project, path: string, earlier?: Analysis): Analysis | undefined {
  const kind = fileKind(path);
  const file = kind && project.source(path);
  if (!kind || !file) return undefined;
  const subject = subjectOf(project, kind, file, earlier);
  const files = subject.installation?.files ?? [file];
  const { findings, accepted, asked } = runChecks(subject, files, earlier?.asked);
  const { installation, derivation, run } = subject;
  return { kind, file, files, subject, installation, derivation, run, findings, accepted, asked };
}

/** Completes the analysis with the findings of all checks. The computation can pause. */
export function* searched(analysis: Analysis): Generator<Pause, Analysis> {
  if (isSearched(analysis)) return analysis;
  const { findings, accepted, asked } = yield* runSearches(analysis.asked, analysis.files);
  return { ...analysis, findings, accepted, asked };
}

/** Whether all checks have run. */
export const isSearched = ({ asked }: Analysis): boolean => leftOut(asked).length === 0;

/**
 * The readings that are written in the file itself, not in its base files or its controller file. Collected on demand.
 */
export const readingsOf = ({ subject }: Analysis): readonly Reading[] => listed(subject);

/** What a node of the file was read as; undefined if it could not be read. */
export function readingAt({ kind, file }: Analysis, node: Node): Reading | undefined {
  const path = pathOf(node);
  // Only the first entry of a duplicate key is read, but the second may still have a cached reading from before the
  // edit.
  if (nodeAtPath(file.root, path) !== node) return undefined;
  const shapes = path.map((_, i) => shapeAt(rootShape(kind), path.slice(0, i + 1)));
  const shape = shapes.pop();
  // Nodes inside a table or a relation have no reading of their own.
  return shape && !shapes.some((around) => around && !around.items && isLeaf(around))
    ? readingOf(shape, node)
    : undefined;
}

const listed = memo(({ read, path }: Subject) =>
  allReadings(read).filter(({ node }) => node.chunk.file === path),
);

function subjectOf(
  project: Project,
  kind: FileKind,
  file: SourceFile,
  earlier: Analysis | undefined,
): Subject {
  if (kind === 'engine') return engineSubject(project, file, earlier?.derivation);
  return kind === 'controller' ? controllerSubject(file) : runSubject(project, file);
}

function engineSubject(project: Project, file: SourceFile, before: Derivation | undefined): Subject {
  const installation = trackedInstallation(readInstallation(project, file));
  return trackedSubject({
    file,
    path: file.path,
    rootShape: rootShape('engine'),
    syntax: file.faults,
    structure: installation.structure,
    // Includes faults in base files: an unreadable value there is missing here too, unless it is overridden.
    binding: installation.binding.faults,
    read: installation.binding.readings,
    tables: placedTables(installation.binding.readings, undefined),
    links: installation.links,
    departures: departuresIn(installation.files),
    installation,
    derivation: new Derivation(installation, before),
    controller: installation.controller,
    run: undefined,
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
    departures: departuresIn([file]),
    installation: undefined,
    derivation: undefined,
    controller: configuration,
    run: undefined,
  });
}

function runSubject(project: Project, file: SourceFile): Subject {
  const { configuration, binding, structure, links } = readRun(project, file);
  return trackedSubject({
    file,
    path: file.path,
    rootShape: rootShape('run'),
    syntax: file.faults,
    structure,
    binding: binding.faults,
    read: binding.readings,
    tables: [],
    departures: departuresIn([file]),
    links,
    installation: undefined,
    derivation: undefined,
    controller: undefined,
    run: configuration,
  });
}

/** The `checks` sections of files. */
const departuresIn = (files: readonly SourceFile[]): readonly MappingNode[] =>
  files.flatMap(({ root }) => {
    const section = root.get('checks');
    return section?.type === 'mapping' ? [section] : [];
  });
