import type { Change } from '../../shared/compare/change.ts';
import { type Comparison, compareAnalyses } from '../../shared/compare/comparison.ts';
import type { Consequence } from '../../shared/compare/consequence.ts';
import { isWorseBeyond } from '../../shared/compare/consequence-order.ts';
import { type FindingConsequence, isNewFinding } from '../../shared/compare/findings.ts';
import { type Standing, settling } from '../../shared/compare/settled.ts';
import { fileKind } from '../../shared/configuration/project.ts';
import { applyBaseline, type Baseline } from '../baseline.ts';
import type { NamedFile } from '../files.ts';
import type { ComparedFile, ComparedState } from '../formats/compare-report.ts';
import { type FilePair, pairFiles, type Side } from '../sides.ts';
import { FileAnalyser } from './analyser.ts';
import { faultSentence } from './command.ts';

/**
 * Compares the files of two sides pair by pair. A pair is released before the next one, so that any number fits in
 * memory; only the results of `make` are kept.
 */
export class FileComparer<Made> {
  /** A sentence for each pair that could not be compared. */
  readonly problems: string[] = [];
  /** How many pairs were compared. */
  compared = 0;
  /** New findings that the baseline lists. */
  known = 0;
  readonly #old: ComparedSide;
  readonly #new: ComparedSide;
  readonly #begun = new Set<FilePair>();
  readonly #made = new Map<FilePair, Made>();
  /** A text for each consequence of the files that were reported, by which an overlay has the same one. */
  readonly #told = new Map<FilePair, ReadonlySet<string>>();
  /** The controller files that the two files of a pair name. */
  readonly #controllers = new Map<FilePair, readonly FilePair[]>();

  /** `make` is called for the pairs with differences. */
  constructor(
    sides: { readonly old: Side; readonly new: Side },
    readonly baseline: Baseline | undefined,
    /** Whether there is still time to compare the bounds of a file. */
    readonly hasTime: () => boolean,
    readonly make: (file: ComparedFile) => Made,
  ) {
    this.#old = new ComparedSide(sides.old, this.problems);
    this.#new = new ComparedSide(sides.new, this.problems);
  }

  /** The results for all pairs, then for controller files that only the files of a pair name. */
  all(): Made[] {
    const pairs = pairFiles(this.#old.side, this.#new.side);
    for (const pair of pairs) {
      this.#old.add(pair.was, pair);
      this.#new.add(pair.is, pair);
    }
    for (const pair of pairs) this.#compare(pair);
    const met = new Set(pairs.map(pathsOf));
    const companions = pairs.flatMap((pair) =>
      (this.#controllers.get(pair) ?? []).filter((controllers) => {
        const isNew = !met.has(pathsOf(controllers));
        met.add(pathsOf(controllers));
        return isNew;
      }),
    );
    for (const pair of companions) this.#compare(pair);
    return [...pairs, ...companions].flatMap((pair) => this.#made.get(pair) ?? []);
  }

  #compare(pair: FilePair): void {
    if (this.#begun.has(pair)) return;
    this.#begun.add(pair);
    this.compared++;
    const was = pair.was && this.#old.read(pair.was);
    const is = pair.is && this.#new.read(pair.is);
    // A change in a base file is reported there, so base files are compared before their overlays.
    const bases = [...new Set([...this.#old.basesOf(was), ...this.#new.basesOf(is)])];
    for (const base of bases) this.#compare(base);
    const [old, now] = [this.#old.controllersOf(was), this.#new.controllersOf(is)];
    this.#controllers.set(
      pair,
      old.slice(0, now.length).map((was, i) => ({ was, is: now[i]! })),
    );
    if (this.problems.length > 0) return;
    try {
      const { file, keys } = this.#comparedFile(was, is, bases);
      this.known += file.known?.length ?? 0;
      if (file.comparison.changes.length + file.comparison.consequences.length === 0) return;
      this.#made.set(pair, this.make(file));
      this.#told.set(pair, keys);
      this.#old.report(pair.was);
      this.#new.report(pair.is);
    } catch (error) {
      this.problems.push(`${(is ?? was)?.name} was not compared: ${faultSentence(error)}`);
    }
  }

  #comparedFile(
    was: ComparedState | undefined,
    is: ComparedState | undefined,
    bases: readonly FilePair[],
  ): { file: ComparedFile; keys: ReadonlySet<string> } {
    const whole = compareAnalyses(was?.analysis, is?.analysis, this.hasTime);
    const { baseline } = this;
    const { comparison, known } = baseline ? withoutKnown(baseline, whole, is) : { comparison: whole };
    const { changes, consequences } = comparison;
    const isInherited = (change: Change) =>
      this.#old.isToldElsewhere(change.was?.node.chunk.file, was) &&
      this.#new.isToldElsewhere(change.is?.node.chunk.file, is);
    const keyOf = new Map(consequences.map((one) => [one, consequenceKey(one)]));
    const keys = new Set(keyOf.values());
    const reported = bases.flatMap((base) => {
      const told = this.#told.get(base);
      return told ? [{ name: (base.is ?? base.was)!.name, told }] : [];
    });
    const isTold = (one: Consequence) => reported.some(({ told }) => told.has(keyOf.get(one)!));
    const inherited = new Set([...changes.filter(isInherited), ...consequences.filter(isTold)]);
    const own = {
      ...comparison,
      changes: changes.filter((one) => !inherited.has(one)),
      consequences: consequences.filter((one) => !inherited.has(one)),
    };
    const isOnlyInherited = own.changes.length + own.consequences.length === 0;
    const isSame = (told: ReadonlySet<string>) =>
      told.size === keys.size && [...keys].every((key) => told.has(key));
    const namesOf = (some: typeof reported) => some.map(({ name }) => name);
    const file = {
      ...{ was, is, comparison, own, inherited, bases: namesOf(reported), ...(known && { known }) },
      sameAs: isOnlyInherited ? namesOf(reported.filter(({ told }) => isSame(told))) : [],
    };
    return { file, keys };
  }
}

/** The same for the same consequence in a file and in its base file. */
function consequenceKey(one: Consequence): string {
  if (one.type === 'finding') {
    const { was, is, severity, severityWas, reason, finding } = one;
    return JSON.stringify([finding.rule, finding.message, was, is, severity, severityWas, reason]);
  }
  if (one.type === 'fault') {
    const { of, fault, severity, noticed } = one.is;
    return JSON.stringify([of, fault, one.was?.severity, one.was?.noticed, severity, noticed]);
  }
  const { limit } = one;
  if (one.type === 'value') {
    const { id, at, point, moved, was, is } = one;
    return JSON.stringify([id, at, point, moved, was?.canonical, is?.canonical, limit]);
  }
  const { id, side, mapSet, fault } = (one.is ?? one.was)!;
  const numbers = [one.was, one.is].map((bound) => bound && [bound.bound, bound.reached, bound.verdict]);
  return JSON.stringify([id, side, mapSet, fault, numbers, limit]);
}

const pathsOf = ({ was, is }: FilePair): string => `${was?.path}\n${is?.path}`;

/** One of the two states of all files. */
class ComparedSide {
  readonly #analyser: FileAnalyser;
  readonly #pairs = new Map<string, FilePair>();
  /** The paths of the files with differences. */
  readonly #reported = new Set<string>();

  constructor(
    readonly side: Side,
    readonly problems: string[],
  ) {
    this.#analyser = new FileAnalyser(side.project);
  }

  add(file: NamedFile | undefined, pair: FilePair): void {
    if (file) this.#pairs.set(file.path, pair);
  }

  /** Analyses a file; adds the reason to the problems if that fails. */
  read({ name, path }: NamedFile): ComparedState | undefined {
    try {
      const analysis = this.#analyser.analyse(path);
      if (analysis) return { name, analysis };
      this.problems.push(`${name} was not compared: it cannot be read.`);
    } catch (error) {
      this.problems.push(`${name} was not compared: ${faultSentence(error)}`);
    }
    return undefined;
  }

  /** The pairs of the base files of a file, the lowest first. */
  basesOf(state: ComparedState | undefined): FilePair[] {
    const [, ...others] = state?.analysis.files ?? [];
    const bases = others.filter(({ path }) => fileKind(path) === 'engine').reverse();
    return bases.flatMap(({ path }) => this.#pairs.get(path) ?? []);
  }

  /** The controller files that an engine file names: the active one, then that of the standby. */
  controllersOf(state: ComparedState | undefined): NamedFile[] {
    if (state?.analysis.kind !== 'engine') return [];
    const files = state.analysis.files.filter(({ path }) => fileKind(path) === 'controller');
    return files.map(({ path }) => ({ path, name: this.side.nameOf(path) }));
  }

  report(file: NamedFile | undefined): void {
    if (file) this.#reported.add(file.path);
  }

  /** Whether a change is reported with another file than this one; also true for what does not exist on this side. */
  isToldElsewhere(path: string | undefined, here: ComparedState | undefined): boolean {
    return path === undefined || (path !== here?.analysis.file.path && this.#reported.has(path));
  }
}

/** A value beyond its limit is accepted if the baseline lists a finding about it. */
function acceptedBy(standing: Standing, one: Consequence): Consequence {
  if (one.type === 'finding' || one.type === 'fault' || !isWorseBeyond(one)) return one;
  const limit = one.limit!;
  if (!settling(limit, standing)) return one;
  return { ...one, limit: { ...limit, accepted: 'listed in the baseline' } } as Consequence;
}

/** Sets apart the new findings that the baseline lists. */
function withoutKnown(
  baseline: Baseline,
  comparison: Comparison,
  is: ComparedState | undefined,
): Required<Pick<ComparedFile, 'comparison' | 'known'>> {
  const [applied] = is ? applyBaseline(baseline, [is]).files : [];
  const listed = new Set(applied?.known);
  const open = applied?.analysis.findings ?? [];
  const isKnown = (one: Consequence): one is FindingConsequence =>
    one.type === 'finding' && isNewFinding(one) && listed.has(one.finding);
  const { consequences } = comparison;
  const known = consequences.filter(isKnown);
  const accepted = known.map(({ finding }) => finding);
  const others = consequences
    .filter((one) => !isKnown(one))
    .map((one) => acceptedBy({ accepted, open }, one));
  return { comparison: { ...comparison, consequences: others }, known };
}
