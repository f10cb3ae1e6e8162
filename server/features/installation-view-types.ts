// What the installation panel is told: plain data, every text in the words and units that a reader sees.

/** A stretch of a file that the panel can lead to. Lines and characters count from 0, as editors count. */
export interface Place {
  readonly uri: string;
  readonly range: { readonly start: Position; readonly end: Position };
  /** `fuel.injectors.static_flow`, with the file before it where it is not the one that is shown. */
  readonly name: string;
}

interface Position {
  readonly line: number;
  readonly character: number;
}

/** A text that leads to a place. */
export interface Link {
  readonly text: string;
  readonly place: Place | null;
}

export interface InstallationView {
  readonly title: string;
  readonly values: ValuesView;
  readonly plan: PlanView;
  readonly sensors: readonly SensorView[];
}

export interface ValuesView {
  readonly columns: readonly ColumnView[];
  /** One for each operating point, in the order of the file. */
  readonly rows: readonly RowView[];
  /** What follows from the file as a whole, the worst cases among it. */
  readonly whole: readonly WholeValueView[];
}

export interface ColumnView {
  readonly key: string;
  readonly label: string;
  readonly unit: string;
  /** Written in the file, not derived. */
  readonly isGiven: boolean;
}

export interface RowView {
  readonly name: string;
  readonly place: Place | null;
  readonly cells: readonly (CellView | null)[];
}

export interface CellView {
  readonly text: string;
  /** For order and length; null for what is no number. */
  readonly number: number | null;
  /** By which its explanation can be asked for; null for what is written. */
  readonly value: string | null;
  /** Where it is written; null for what is derived. */
  readonly place: Place | null;
}

export interface WholeValueView {
  readonly value: string;
  readonly label: string;
  readonly text: string;
  readonly place: Place | null;
}

/** How a derived value came about. */
export interface Explanation {
  /** The values on the way to it, the one that was asked for first. */
  readonly trail: readonly string[];
  readonly label: string;
  readonly text: string;
  readonly note: string | null;
  readonly formula: string;
  readonly substituted: string;
  readonly inputs: readonly InputView[];
  readonly sources: readonly string[];
  /** What it says something about. */
  readonly place: Place | null;
}

export interface InputView {
  readonly symbol: string;
  readonly label: string;
  readonly text: string;
  /** How it came about where it was not simply read. */
  readonly how: string | null;
  readonly place: Place | null;
  readonly isDerived: boolean;
}

/** A value, or the one that is reached from it through inputs, each by its number. */
export interface ValueAsked {
  readonly value: string;
  readonly through: readonly number[];
}

export interface PlanView {
  readonly controller: Link | null;
  readonly connectors: readonly ConnectorView[];
  /** What needs a pin and names none. */
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
   * `own`: supply, ground or bus of the controller itself; `undescribed`: neither used nor described; `unknown`: used,
   * and the controller file does not describe it.
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

/** What a sensor reads over its input, every number in the unit that stands beside it. */
export interface CurveView {
  readonly input: QuantityView;
  readonly reading: QuantityView;
  /** Of inputs. */
  readonly span: readonly [low: number, high: number];
  readonly samples: readonly CurvePoint[];
  /** The points that the file states. */
  readonly points: readonly CurvePoint[];
  /** The inputs outside which the sensor has failed. */
  readonly bounds: readonly [low: number, high: number] | null;
  /** The readings that the sensor is good for. */
  readonly range: { readonly low: number | null; readonly high: number | null };
  /** For reading without sight, and for a check with a meter. */
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
  /** Null where the curve does not reach. */
  readonly reading: string | null;
  readonly isFailed: boolean;
  readonly isStated: boolean;
}
