import type { Analysis } from '../../shared/analysis.ts';
import type { Severity } from '../../shared/checks/check.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { listed } from '../../shared/checks/words.ts';
import type { Change } from '../../shared/compare/change.ts';
import type { Comparison } from '../../shared/compare/comparison.ts';
import type { Consequence } from '../../shared/compare/consequence.ts';
import { beyondSeverity } from '../../shared/compare/consequence-order.ts';
import { type FindingConsequence, gravity, isNewFinding } from '../../shared/compare/findings.ts';
import { type Sections, sectionsOf } from '../../shared/compare/sections.ts';
import { type Tally, tallyOf } from '../../shared/compare/verdict.ts';
import { findingWords } from '../../shared/compare/words.ts';
import { counted } from '../../shared/counted.ts';
import { groupedBy } from '../../shared/grouped-by.ts';
import type { Position } from '../../shared/source/lines.ts';
import { keyNode } from '../../shared/source/source-file.ts';
import type { Node } from '../../shared/source/tree.ts';
import { readablePath } from '../files.ts';
import { rangeOf } from '../places.ts';
import type { TextLayout } from '../terminal.ts';
import type { LocatedPlace } from './check-report.ts';

export interface ComparedState {
  /** As the user named it, or as found in a folder or commit. */
  readonly name: string;
  readonly analysis: Analysis;
}

/** A pair of files with differences. */
export interface ComparedFile {
  readonly was: ComparedState | undefined;
  readonly is: ComparedState | undefined;
  /** Without the new findings that the baseline lists. */
  readonly comparison: Comparison;
  /** The part of it that is not inherited: what every report lists and counts. */
  readonly own: Comparison;
  /** Those findings; absent without a baseline. */
  readonly known?: readonly FindingConsequence[];
  /** Changes in a base file that is reported itself, and consequences that are the same in it. */
  readonly inherited: ReadonlySet<Change | Consequence>;
  /** The names of those base files. */
  readonly bases: readonly string[];
  /** Base files that have the same consequences; empty if the file has changes or consequences of its own. */
  readonly sameAs: readonly string[];
}

/** The result of `compare`: the part of each file with differences, as its format made it, and the totals. */
export interface CompareReport<Part> {
  /** The two states as the user named them. */
  readonly old: string;
  readonly new: string;
  /** The worst first. */
  readonly files: readonly ReportedFile<Part>[];
  readonly whole: Tally;
  /** How many files were compared. */
  readonly compared: number;
}

/** A file with differences, and its part of the output. */
export interface ReportedFile<Part> {
  readonly name: string;
  readonly tally: Tally;
  readonly part: Part;
  /** As in `ComparedFile`. */
  readonly sameAs: readonly string[];
}

/** The table of files at the head of a report. */
export interface Head<Part> {
  /** The files that are not the same as a base file, the worst first. */
  readonly own: readonly ReportedFile<Part>[];
  /** The names of the others, by the base files whose consequences they have. */
  readonly alike: ReadonlyMap<string, readonly string[]>;
}

export function headOf<Part>(files: readonly ReportedFile<Part>[]): Head<Part> {
  const same = files.filter(({ sameAs }) => sameAs.length > 0);
  const byBases = groupedBy(same, ({ sameAs }) => listed(sameAs));
  return {
    own: files.filter(({ sameAs }) => sameAs.length === 0),
    alike: new Map([...byBases].map(([bases, some]) => [bases, some.map(({ name }) => name)])),
  };
}

/** The settings for printing a file. */
export interface Printing {
  readonly paper: TextLayout;
  /** Whether everything is listed, or only what matters most, with the rest counted. */
  readonly all: boolean;
  /** The lowest severity of a new finding that fails the run. */
  readonly threshold: Severity;
}

/**
 * An output format of a comparison. A file is released before the next one; only its part of the output is kept.
 */
export interface CompareFormat<Part> {
  part(file: ComparedFile, printing: Printing): Part;
  /** The whole output, ending with a line end. */
  write(report: CompareReport<Part>, paper: TextLayout): string;
}

/**
 * Whether a consequence fails the run: a new finding, a value or bound newly or further beyond its limit, or a single fault made
 * worse, which counts as a warning.
 */
export function failsGate(printing: Pick<Printing, 'threshold'>, one: Consequence): boolean {
  if (one.type === 'fault') return reaches(printing, 'warning');
  if (one.type === 'finding') return isNewFinding(one) && reaches(printing, one.severity);
  const severity = beyondSeverity(one);
  return severity !== undefined && reaches(printing, severity);
}

/** Whether a severity fails the run. */
const reaches = ({ threshold }: Pick<Printing, 'threshold'>, severity: Severity): boolean =>
  gravity(severity) >= gravity(threshold);

/** The name of a file in the report: its name in the new state, if it has one. */
export function fileName({ was, is }: ComparedFile): string {
  return (is ?? was)!.name;
}

/** The place of a node or of its key; undefined if it belongs to no file of this state. */
export function locateNode({ name, analysis }: ComparedState, node: Node): LocatedPlace | undefined {
  const span = keyNode(node);
  const file = analysis.files.find(({ path }) => path === span.chunk.file);
  if (!file?.chunks.has(span.chunk)) return undefined;
  return {
    name: file === analysis.file ? name : readablePath(file.path),
    file,
    range: rangeOf(file, span),
  };
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
 * `name:12:3`, with the name of the state for its own file and the file name for a base file.
 */
function placeText(state: ComparedState, place: { path: string; start: Position }): string {
  const name =
    place.path === state.analysis.file.path ? state.name : place.path.slice(place.path.lastIndexOf('/') + 1);
  return `${name}:${place.start.line + 1}:${place.start.character + 1}`;
}

/** The parts of a file's report. */
export interface FileSections extends Sections {
  /** The changes in the file itself; the others are listed with the files that they are in. */
  readonly own: readonly Change[];
  /** A sentence about the changes listed with another file; empty if there are none. */
  readonly inherited: string;
}

/** What a file adds to what its base files count. */
export const fileTally = ({ own, inherited }: ComparedFile): Tally => tallyOf(own, inherited.size);

export function fileSections({ comparison, own, inherited, bases }: ComparedFile): FileSections {
  const changes = comparison.changes.filter((change) => inherited.has(change));
  const consequences = comparison.consequences.filter((one) => inherited.has(one));
  const sentences = [
    ...(changes.length > 0 ? [inheritedText(changes)] : []),
    ...(consequences.length > 0
      ? [`${counted(consequences.length, 'consequence')} as in ${listed(bases)}, listed there.`]
      : []),
  ];
  return { ...sectionsOf(own), own: own.changes, inherited: sentences.join(' ') };
}

/** A changed finding as every report shows it. */
export interface FindingLine {
  /** `new error`, `newly accepted warning` */
  readonly words: string;
  readonly rule: string;
  readonly place: string;
  readonly message: string;
  /** Why it is or was accepted. */
  readonly reason: string | undefined;
  /** How the report marks it. */
  readonly kind: 'error' | 'warning' | 'note' | 'accepted' | 'gone';
}

export function findingLine(file: ComparedFile, consequence: FindingConsequence): FindingLine {
  const { finding, is, reason, rule } = consequence;
  const state = (is === 'none' ? file.was : file.is)!;
  return {
    words: findingWords(consequence),
    rule,
    place: findingPlace(state, consequence),
    message: finding.message,
    reason,
    kind: kindOf(consequence),
  };
}

/** The place of a finding in a state: `name:12:3` */
export function findingPlace(state: ComparedState, { finding }: FindingConsequence): string {
  return placeText(state, placeOfFinding(state, finding));
}

function kindOf(consequence: FindingConsequence): FindingLine['kind'] {
  const { is, severity } = consequence;
  if (is === 'none') return 'gone';
  if (is === 'accepted') return 'accepted';
  if (!isNewFinding(consequence)) return 'note';
  return severity === 'error' || severity === 'warning' ? severity : 'note';
}

/** `9 changes are in skua.engine.yaml and listed there.` */
function inheritedText(inherited: readonly Change[]): string {
  const paths = new Set(inherited.map(({ was, is }) => (is ?? was)!.node.chunk.file));
  const names = [...paths].map((path) => path.slice(path.lastIndexOf('/') + 1));
  const are = inherited.length === 1 ? 'is' : 'are';
  return `${counted(inherited.length, 'change')} ${are} in ${names.join(', ')} and listed there.`;
}
