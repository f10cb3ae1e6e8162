import type { ControllerConfiguration, RunConfiguration } from '../../generated/configuration.ts';
import type { BindingFault } from '../configuration/binding-fault.ts';
import type { Installation, LinkFault } from '../configuration/installation.ts';
import type { ReadingTree } from '../configuration/readings.ts';
import type { Shape } from '../configuration/shape.ts';
import type { StructureFault } from '../configuration/validate.ts';
import type { TableValue } from '../configuration/values.ts';
import { Derivation } from '../derived/derivation.ts';
import { memo } from '../memo.ts';
import { type Proof, proofOf } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import type { FurtherTargets } from '../proof/targets.ts';
import type { Kind } from '../quantity/kinds.ts';
import type { Edit } from '../source/edit.ts';
import type { SourceFile } from '../source/source-file.ts';
import { type MappingNode, type Node, pathOf, type Span, type SyntaxFault } from '../source/tree.ts';

/**
 * error: the controller cannot hold the value, the file contradicts itself, or the engine would exceed its own limits;
 * warning: outside common practice, or without margin; information: worth knowing; hint: style.
 */
export type Severity = 'error' | 'warning' | 'information' | 'hint';

/** The gravest first. */
const RANKS: Readonly<Record<Severity, number>> = { error: 0, warning: 1, information: 2, hint: 3 };

/** The page of a check, for a calibrator who asks "why?". Markdown, full sentences. */
export interface Page {
  readonly catches: string;
  readonly why: string;
  /** YAML in which the check finds something. */
  readonly example: string;
  readonly remedy: string;
  /** A published source, or "common practice, no source". */
  readonly basis: string;
}

/** A threshold that is common practice, not physics: a file can set another under `checks:`, with a reason. */
export interface Setting {
  readonly kind: Kind;
  /** As a file would write it: `85 %`. */
  readonly value: string;
  readonly meaning: string;
}

/** A threshold that depends on another quantity: a file can replace the whole curve under `checks:`, with a reason. */
export interface CurveSetting {
  /** The quantity along x, and the unit of its breakpoints. */
  readonly x: string;
  readonly unit: string;
  readonly breakpoints: readonly number[];
  readonly values: readonly number[];
  readonly meaning: string;
}

/** A curve or map with the shape of its place. */
export interface PlacedTable {
  readonly table: TableValue;
  readonly shape: Shape;
}

export interface Related {
  readonly at: Node | Span;
  readonly message: string;
}

/**
 * `safe`: keeps the meaning, or there is no other meaning, so it can be applied automatically; `choice`: changes a value, and
 * only the calibrator knows whether it is right.
 */
export interface Fix {
  readonly title: string;
  readonly safety: 'safe' | 'choice';
  readonly edits: readonly Edit[];
}

export interface Found {
  /** What to underline; for a block mapping or list its key is underlined. */
  readonly at: Node | Span;
  readonly message: string;
  readonly severity?: Severity;
  readonly related?: readonly Related[];
  readonly fixes?: readonly Fix[];
  /**
   * The cause of the finding, if it can cause others too: the node at fault, or a name for what is missing. Findings
   * with the same cause, of any check, are listed as one.
   */
  readonly cause?: Node | string | undefined;
  /** Keys of an overlay from which a finding about its base file follows, see `placesBehind`. */
  readonly follows?: readonly Node[];
}

/** What a check can read. Engine files have an installation and derived values, controller files do not. */
export interface Subject {
  readonly file: SourceFile;
  readonly path: string;
  readonly rootShape: Shape;
  readonly syntax: readonly SyntaxFault[];
  readonly structure: readonly StructureFault[];
  readonly binding: readonly BindingFault[];
  /** Everything that was read for this file, including its base files. */
  readonly read: ReadingTree;
  /** The curves and maps among everything that was read, map sets included. */
  readonly tables: readonly PlacedTable[];
  readonly links: readonly LinkFault[];
  /** The `checks` sections of everything that was read for this file, the nearest first, see `thresholdsOf`. */
  readonly departures: readonly MappingNode[];
  readonly installation: Installation | undefined;
  readonly derivation: Derivation | undefined;
  /** The contents of the controller file: this file, or the one that the engine file names. */
  readonly controller: ControllerConfiguration | undefined;
  /** The contents of a run file. */
  readonly run: RunConfiguration | undefined;
}

/** A subject that is an engine file. */
export type EngineSubject = Subject & {
  readonly installation: Installation;
  readonly derivation: Derivation;
};

export interface CheckDefinition<Settings extends string = never> {
  readonly id: string;
  readonly severity: Severity;
  readonly title: string;
  readonly page: Page;
  readonly settings?: Readonly<Record<Settings, Setting>>;
  readonly curves?: Readonly<Record<string, CurveSetting>>;
}

export interface Check extends CheckDefinition<string> {
  /** Whether it searches bounds. That takes longer than a keystroke may wait, so it can pause. */
  readonly searches: boolean;
  /** What it needs bounded besides the values of a point: the same object for the same thresholds. */
  targets?(thresholds: Readonly<Record<string, number>>): FurtherTargets;
  /** Thresholds are in canonical units, under the names of `settings`; `further` is what all checks need bounded. */
  find(
    subject: Subject,
    thresholds: Readonly<Record<string, number>>,
    further: FurtherTargets,
  ): Iterable<Found | Pause>;
}

export type { Pause };

/** A check of the form of any file, before anything is known about an engine. */
export function fileCheck<Settings extends string = never>(
  definition: CheckDefinition<Settings> & {
    find(subject: Subject, thresholds: Readonly<Record<Settings, number>>): Iterable<Found>;
  },
): Check {
  return { ...definition, searches: false } as unknown as Check;
}

/** A check of an engine: it compares configured and derived values, and is not run on controller files. */
export function engineCheck<Settings extends string = never>(
  definition: CheckDefinition<Settings> & {
    /** Whether it also checks the engine as the standby controller runs it. */
    readonly onStandby?: boolean;
    find(subject: EngineSubject, thresholds: Readonly<Record<Settings, number>>): Iterable<Found>;
  },
): Check {
  const { onStandby = false, ...check } = definition;
  return {
    ...check,
    searches: false,
    find: (subject, thresholds) => {
      if (!isEngine(subject)) return [];
      const find = (one: EngineSubject) =>
        definition.find(one, thresholds as Readonly<Record<Settings, number>>);
      return onStandby ? onBoth(find, subject, definition.severity) : find(subject);
    },
  } as Check;
}

/**
 * What a check finds with the first controller, and then what it finds with the standby controller: in the section of that
 * controller, and elsewhere unless a finding with the first is at the same place and no less grave.
 */
function* onBoth<Step extends Found | Pause>(
  find: (subject: EngineSubject) => Iterable<Step>,
  subject: EngineSubject,
  usual: Severity,
): Iterable<Step> {
  const rankOf = ({ severity = usual }: Found) => RANKS[severity];
  const gravest = new Map<Found['at'], number>();
  for (const step of find(subject)) {
    if (step) gravest.set(step.at, Math.min(rankOf(step), gravest.get(step.at) ?? Infinity));
    yield step;
  }
  const standby = standbySubject(subject);
  if (!standby) return;
  for (const step of find(standby)) {
    if (!step) yield step;
    else if (isOfStandby(step) || rankOf(step) < (gravest.get(step.at) ?? Infinity))
      yield { ...step, message: `With the standby controller: ${step.message}` };
  }
}

const isOfStandby = ({ at }: Found): boolean => 'type' in at && pathOf(at)[0] === 'standby';

/** The subject as the standby controller runs it; undefined if there is none. */
export const standbySubject = memo((subject: EngineSubject): EngineSubject | undefined => {
  const derivation = subject.derivation.once<Derivation | undefined>(derivationOfStandby);
  if (!derivation) return undefined;
  const { installation } = derivation;
  // Inherits from the subject, so that what is read of it is still tracked.
  return Object.create(subject, {
    installation: { value: installation },
    derivation: { value: derivation },
    controller: { value: installation.controller },
  });
});

function derivationOfStandby(
  { installation }: Derivation,
  before: Derivation | undefined,
): Derivation | undefined {
  // What the standby controller holds is a part of its own section too; without one, its controller file is not read.
  const standby = installation.configuration.standby && installation.standby;
  return standby && new Derivation(standby, before);
}

/**
 * A check of bounds over all states of the envelope. `find` receives the proof of the engine, the same for all checks; it
 * gets bounds with `yield*`, which passes on the pauses of the search.
 */
export function boundCheck<Settings extends string = never>(
  definition: CheckDefinition<Settings> & {
    targets?(thresholds: Readonly<Record<Settings, number>>): FurtherTargets;
    find(
      subject: EngineSubject,
      proof: Proof,
      thresholds: Readonly<Record<Settings, number>>,
    ): Iterable<Found | Pause>;
  },
): Check {
  return {
    ...definition,
    searches: true,
    find: (subject, thresholds, further) => {
      const find = (one: EngineSubject) =>
        definition.find(
          one,
          proofOf(further, one.derivation),
          thresholds as Readonly<Record<Settings, number>>,
        );
      return isEngine(subject) ? onBoth(find, subject, definition.severity) : [];
    },
  } as Check;
}

const isEngine = (subject: Subject): subject is EngineSubject =>
  subject.installation !== undefined && subject.derivation !== undefined;

/** A check of a controller file by itself; it is not run again for each engine file that names it. */
export function controllerCheck<Settings extends string = never>(
  definition: CheckDefinition<Settings> & {
    find(
      controller: ControllerConfiguration,
      thresholds: Readonly<Record<Settings, number>>,
    ): Iterable<Found>;
  },
): Check {
  return {
    ...definition,
    searches: false,
    find: ({ controller, installation }, thresholds) =>
      controller && !installation
        ? definition.find(controller, thresholds as Readonly<Record<Settings, number>>)
        : [],
  } as Check;
}

/** Checks that belong together, under the title of their chapter. */
export interface Family {
  readonly id: string;
  readonly title: string;
  readonly checks: readonly Check[];
}
