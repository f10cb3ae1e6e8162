import type { Location } from 'vscode-languageserver';
import type { Steps } from '../runs/run-rows.ts';

/** A table for readers. */
export interface RunTable {
  readonly title: string;
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** The place in a text that each row is about; null if there is none. */
  readonly places: readonly (Location | null)[];
}

/** One column of the log. */
export interface RunColumn {
  readonly name: string;
  readonly unit: string;
  /** The levels of its limits, in its unit. */
  readonly levels: readonly {
    readonly label: string;
    readonly value: number;
    readonly place: Location | null;
  }[];
  /** When its limits acted, in s. */
  readonly lit: readonly (readonly [from: number, to: number])[];
}

/** A quantity over speed, with the ends of its 95 % intervals. */
export interface RunCurve {
  readonly label: string;
  readonly speed: readonly number[];
  readonly mean: readonly number[];
  readonly low: readonly number[];
  readonly high: readonly number[];
}

/** The departures of the filling: cells in the order of the map. */
export interface RunMap {
  /** The map sets under which its rows ran; empty if the run says something about one map only. */
  readonly mapSets: string;
  readonly columns: readonly string[];
  readonly rows: readonly string[];
  readonly cells: readonly {
    readonly row: number;
    readonly column: number;
    readonly text: string;
    readonly believed: boolean;
  }[];
}

export interface RunView {
  readonly title: string;
  /** Why the run cannot be read; everything else is empty then. */
  readonly problem: string | null;
  readonly sentences: readonly string[];
  readonly notes: readonly string[];
  readonly span: readonly [from: number, to: number];
  readonly columns: readonly RunColumn[];
  readonly curves: readonly RunCurve[];
  readonly maps: readonly RunMap[];
  readonly tables: readonly RunTable[];
}

export interface RunSteps {
  readonly times: Steps['times'];
  /** By column, in its unit; null for a missing value. */
  readonly lows: readonly (readonly (number | null)[])[];
  readonly highs: readonly (readonly (number | null)[])[];
}
