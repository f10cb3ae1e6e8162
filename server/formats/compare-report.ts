import type { Analysis } from '../../shared/analysis.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import type { Change } from '../../shared/compare/change.ts';
import type { Comparison } from '../../shared/compare/comparison.ts';
import type { Position } from '../../shared/source/lines.ts';
import { keyOf, offsetsOf } from '../../shared/source/source-file.ts';
import type { Node } from '../../shared/source/tree.ts';
import { counted } from './layout.ts';

export interface ComparedState {
  /** As the user named it, or as it was met below a folder or a commit. */
  readonly name: string;
  readonly analysis: Analysis;
}

export interface ComparedFile {
  readonly was: ComparedState | undefined;
  readonly is: ComparedState | undefined;
  readonly comparison: Comparison;
}

/** What `compare` found; every format prints this. */
export interface CompareReport {
  /** The two states as the user named them. */
  readonly old: string;
  readonly new: string;
  /** Those in which something is otherwise. */
  readonly files: readonly ComparedFile[];
  /** How many files were held together. */
  readonly compared: number;
}

/** What a file is called in the report: as the new state has it. */
export function fileName({ was, is }: ComparedFile): string {
  return (is ?? was)!.name;
}

/** All changes and consequences, for a verdict on the whole. */
export function wholeOf({ files }: CompareReport): Comparison {
  return {
    changes: files.flatMap(({ comparison }) => comparison.changes),
    consequences: files.flatMap(({ comparison }) => comparison.consequences),
  };
}

/**
 * Where a node, or the key that it stands under, begins: the path of its file, and line and character from 0.
 */
export function placeOfNode(
  { analysis }: ComparedState,
  node: Node,
): { path: string; start: Position } | undefined {
  const span = keyOf(node) ?? node;
  const file = analysis.files.find(({ path }) => path === span.chunk.file);
  if (!file?.starts.has(span.chunk)) return undefined;
  return { path: file.path, start: file.lines.position(offsetsOf(file, span).start) };
}

export function placeOfFinding(
  { analysis }: ComparedState,
  finding: Finding,
): { path: string; start: Position } {
  const { file, start } = finding.writtenAt ?? finding;
  const source = analysis.files.find(({ path }) => path === file) ?? analysis.file;
  return { path: source.path, start: source.lines.position(start) };
}

/**
 * `name:12:3`, with the name of the state for its own file and the path for another one that it is based on.
 */
export function placeText(state: ComparedState, place: { path: string; start: Position }): string {
  const name =
    place.path === state.analysis.file.path ? state.name : place.path.slice(place.path.lastIndexOf('/') + 1);
  return `${name}:${place.start.line + 1}:${place.start.character + 1}`;
}

/** Members with the same key together, in the order in which the keys are met first. */
export function groupedBy<Member>(
  members: readonly Member[],
  keyOf: (member: Member) => string,
): Map<string, Member[]> {
  const groups = new Map<string, Member[]>();
  for (const member of members) {
    const group = groups.get(keyOf(member));
    if (group) group.push(member);
    else groups.set(keyOf(member), [member]);
  }
  return groups;
}

/**
 * The changes that a file makes itself, and those of a file that it is based on, where that one is reported
 * too.
 */
export function ownChanges(
  file: ComparedFile,
  report: CompareReport,
): { own: Change[]; inherited: Change[] } {
  const reported = new Set(
    report.files
      .filter((other) => other !== file)
      .flatMap(({ was, is }) => [was?.analysis.file.path, is?.analysis.file.path]),
  );
  const isInherited = ({ was, is }: Change) =>
    [was, is].every((item) => item === undefined || reported.has(item.node.chunk.file));
  const own = file.comparison.changes.filter((change) => !isInherited(change));
  return { own, inherited: file.comparison.changes.filter(isInherited) };
}

/** `9 changes are made in skua.engine.yaml and listed there.` */
export function inheritedText(inherited: readonly Change[]): string {
  const paths = new Set(inherited.map(({ was, is }) => (is ?? was)!.node.chunk.file));
  const names = [...paths].map((path) => path.slice(path.lastIndexOf('/') + 1));
  const made = inherited.length === 1 ? 'is made' : 'are made';
  return `${counted(inherited.length, 'change')} ${made} in ${names.join(', ')} and listed there.`;
}
