// The data of the installation panel: plain objects, with every text as it is shown.

/** A range of a file that the panel can open. Lines and characters count from 0, as in the protocol. */
export interface Place {
  readonly uri: string;
  readonly range: { readonly start: Position; readonly end: Position };
  /** `fuel.injectors.static_flow`, after the name of the file if it is not the one shown. */
  readonly name: string;
}

interface Position {
  readonly line: number;
  readonly character: number;
}

/** A text with the place that it links to. */
export interface Link {
  readonly text: string;
  readonly place: Place | null;
}

export interface InstallationView {
  readonly title: string;
  readonly values: ValuesView;
  readonly plan: PlanView;
  readonly sensors: readonly SensorView[];
  readonly bounds: BoundsView;
}

/** The harness drawing. */
export interface HarnessView {
  /** SVG without colours: a group of the class `circuit` for each circuit, its name in `data-circuit`; null without circuits. */
  readonly svg: string | null;
  /** Where each circuit is written. */
  readonly circuits: readonly Link[];
}

/** The fault table. */
export interface FaultTableView {
  /** `12 stops, 3 damages` */
  readonly summary: string;
  /** The worst severity first. */
  readonly rows: readonly FaultRowView[];
}

export interface FaultRowView extends Link {
  /** `open circuit or shorted to ground` */
  readonly how: string;
  readonly severity: 'stops' | 'damages' | 'degrades' | 'announces' | 'hidden';
  /** What the severity says. */
  readonly meaning: string;
  /** What the fault does, why it has its severity, and what the file states, one text for each. */
  readonly effects: readonly string[];
  readonly lost: string;
  /** The lights and signals that show it. */
  readonly shownBy: string;
}

export interface BoundsView {
  /** `outdated`: of the text before the last edit; `awaited`: not searched yet; `unknown`: the file has no envelope. */
  readonly status: 'current' | 'outdated' | 'awaited' | 'unknown';
  readonly summary: string;
  /** The worst verdicts and smallest margins first. */
  readonly rows: readonly BoundRowView[];
}

export interface BoundRowView {
  /** The name by which to request the explanation of its state. */
  readonly value: string;
  readonly label: string;
  /** Map set and fault. */
  readonly situation: string;
  readonly bound: string;
  readonly limit: string;
  readonly margin: string;
  /** The margin as a share of the limit, negative beyond it; null while the verdict is open. */
  readonly share: number | null;
  readonly verdict: 'holds' | 'broken' | 'open';
  /** What the verdict says. */
  readonly meaning: string;
  readonly state: string;
  /** Where the limit is written; null for that of a check. */
  readonly place: Place | null;
}

export interface ValuesView {
  readonly columns: readonly ColumnView[];
  /** One for each operating point, in the order of the file. */
  readonly rows: readonly RowView[];
  /** The derived values of the whole file. */
  readonly whole: readonly WholeValueView[];
}

export interface ColumnView {
  readonly key: string;
  readonly label: string;
  readonly unit: string;
  /** Whether it is written in the file, not derived. */
  readonly isGiven: boolean;
}

export interface RowView {
  readonly name: string;
  readonly place: Place | null;
  readonly cells: readonly (CellView | null)[];
}

export interface CellView {
  readonly text: string;
  /** For sorting and bar length; null for a cell without a number. */
  readonly number: number | null;
  /** The name by which to request its explanation; null for a written value. */
  readonly value: string | null;
  /** Where it is written; null for a derived value. */
  readonly place: Place | null;
}

export interface WholeValueView {
  readonly value: string;
  readonly label: string;
  readonly text: string;
  readonly place: Place | null;
}

/** The derivation of a value. */
export interface Explanation {
  /** Whether it is the value in the state of a bound, which can be added as an operating point. */
  readonly isOfState: boolean;
  /** The labels of the values on the way to it, beginning with the one that was requested. */
  readonly trail: readonly string[];
  readonly label: string;
  readonly text: string;
  /** Where it was found, and numbers outside the range in which the formula is meant to hold. */
  readonly notes: readonly string[];
  readonly formula: string;
  readonly substituted: string;
  readonly inputs: readonly InputView[];
  /** `Most sensitive to fuel.injectors.static_flow (−0.93 % per 1 %), …` */
  readonly movers: string | null;
  readonly sources: readonly string[];
  /** The place that it belongs to. */
  readonly place: Place | null;
}

export interface InputView {
  readonly symbol: string;
  readonly label: string;
  readonly text: string;
  /** How it was obtained, if it was not simply read. */
  readonly how: string | null;
  readonly place: Place | null;
  readonly isDerived: boolean;
}

/** A value, or the one reached from it through inputs, each given by its index. */
export interface ValueAsked {
  readonly value: string;
  readonly through: readonly number[];
}

export interface PlanView {
  readonly controller: Link | null;
  readonly connectors: readonly ConnectorView[];
  /** The sensors, inputs and outputs that need a pin and have none. */
  readonly open: readonly Link[];
}

export interface ConnectorView {
  readonly name: string;
  readonly kind: 'controller' | 'harness';
  readonly positions: number | null;
  readonly pins: readonly PinView[];
}

export interface PinView {
  readonly name: string;
  readonly position: number | null;
  /**
   * `own`: supply, ground or bus of the controller itself; `undescribed`: neither used nor described; `unknown`: used
   * but not described by the controller file.
   */
  readonly state: 'used' | 'free' | 'own' | 'undescribed' | 'unknown';
  readonly role: string;
  readonly limits: readonly string[];
  readonly place: Place | null;
  readonly users: readonly Link[];
  readonly faults: readonly FaultView[];
}

export interface FaultView {
  readonly severity: 'error' | 'warning' | 'information' | 'hint';
  readonly check: string;
  readonly message: string;
}

export interface SensorView {
  readonly name: string;
  readonly measures: string;
  readonly place: Place | null;
  readonly written: readonly WrittenView[];
  readonly curves: readonly CurveView[];
}

export interface WrittenView extends Link {
  readonly label: string;
}

/** The readings of a sensor over its input, every number in the unit beside it. */
export interface CurveView {
  readonly input: QuantityView;
  readonly reading: QuantityView;
  /** The range of inputs. */
  readonly span: readonly [low: number, high: number];
  readonly samples: readonly CurvePoint[];
  /** The points in the file. */
  readonly points: readonly CurvePoint[];
  /** The fault bounds: inputs outside them mean a failed sensor. */
  readonly bounds: readonly [low: number, high: number] | null;
  /** The range of readings that the sensor can report. */
  readonly range: { readonly low: number | null; readonly high: number | null };
  /** The curve as a table, for screen readers and for a check with a meter. */
  readonly table: readonly CurveRow[];
}

export interface QuantityView {
  readonly label: string;
  readonly unit: string;
}

export interface CurvePoint {
  readonly input: number;
  readonly reading: number;
}

export interface CurveRow {
  readonly input: string;
  /** Null outside the curve. */
  readonly reading: string | null;
  readonly isFailed: boolean;
  readonly isStated: boolean;
}
