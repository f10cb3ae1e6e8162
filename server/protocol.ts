// Requests, notifications and options beyond the Language Server Protocol. docs/protocol.md documents them for authors of
// editors; a test compares both.
import type { Location, Position, Range, TextEdit } from 'vscode-languageserver';
import type { Verdict } from '../shared/compare/verdict.ts';
import type { Answers, Question as InstallationQuestion } from '../shared/starting/answers.ts';
import type { ControllerAnswers, ControllerQuestion } from '../shared/starting/controller-answers.ts';
import type { Refusal } from '../shared/tables/change.ts';
import type { Rectangle } from '../shared/tables/surface.ts';
import type { TableView } from '../shared/tables/view.ts';
import type { Prompt, Question, Work } from '../shared/tables/work.ts';
import type {
  Explanation,
  FaultTableView,
  HarnessView,
  InstallationView,
  ValueAsked,
} from './features/installation-view-types.ts';
import type { MemoryView } from './features/memory-view-types.ts';
import type { RunSteps, RunView } from './features/run-view-types.ts';

/** Requests of the editor, by method: parameters and answer. */
export interface CustomRequests {
  /** The page of a check as Markdown; null for an unknown id. */
  'enginewright/checkPage': { params: { readonly check: string }; answer: string | null };

  /** The installation that a document belongs to; null if it belongs to none. */
  'enginewright/installationView': { params: AboutDocument; answer: InstallationView | null };
  /** The derivation of a value; null if it cannot be derived from the current text. */
  'enginewright/explanation': {
    params: AboutDocument & { readonly asked: ValueAsked };
    answer: Explanation | null;
  };

  /** The harness drawing of the installation; null if the document belongs to none. */
  'enginewright/harness': { params: AboutDocument; answer: HarnessView | null };
  /** The fault table of the installation; null if the document belongs to none. */
  'enginewright/faults': { params: AboutDocument; answer: FaultTableView | null };

  /** The edits that add the state of a bound as an operating point; null if that is not possible. */
  'enginewright/addedState': {
    params: AboutDocument & { readonly value: string };
    answer: AddedState | null;
  };

  /** The storage image of an engine; null if its controller describes none. */
  'enginewright/memoryView': { params: AboutDocument; answer: MemoryView | null };
  /** The texts of the files of an engine if they said what an image holds. */
  'enginewright/imageTexts': { params: ImageTextsParams; answer: ImageTextsAnswer | null };

  /** The table at a position, or otherwise the one with a path, from the current text. */
  'enginewright/tableView': { params: TableViewParams; answer: TableViewAnswer | null };
  /** The edits for a change at selections, or why it is not possible. */
  'enginewright/cellChange': { params: CellChangeParams; answer: CellChange | Refusal | null };
  /** The question to ask the user before a change, or why it is not possible. */
  'enginewright/cellPrompt': { params: CellPromptParams; answer: Prompt | Refusal | null };

  /** What a measured run says, read from the files on disk; null for any other document. */
  'enginewright/runView': { params: AboutDocument; answer: RunView | null };
  /** The rows of a run from one time to another, in at most `most` steps; null if it cannot be read. */
  'enginewright/runSteps': {
    params: AboutDocument & { readonly from: number; readonly to: number; readonly most: number };
    answer: RunSteps | null;
  };

  /** Runs the checks that search bounds now, instead of when nobody types. */
  'enginewright/proof': { params: AboutDocument; answer: ProofAnswer };

  /** How the working text changes the engine since the last commit, or which files must be fetched first. */
  'enginewright/review': { params: ReviewParams; answer: ReviewAnswer | null };

  /** The text of a first engine file, made from answers as typed. */
  'enginewright/newInstallation': { params: Answers; answer: string | null };
  /** The finding that an answer would cause; null if none. */
  'enginewright/objection': {
    params: { readonly question: InstallationQuestion; readonly answer: string };
    answer: Objection | null;
  };
  /** The text of a first controller file. */
  'enginewright/newController': { params: ControllerAnswers; answer: string | null };
  /** Why an answer cannot be right, given the answers before it; null if it can. */
  'enginewright/controllerObjection': {
    params: { readonly question: ControllerQuestion; readonly answers: ControllerAnswers };
    answer: string | null;
  };
}

export type CustomMethod = keyof CustomRequests;
export type Params<Method extends CustomMethod> = CustomRequests[Method]['params'];
export type Answer<Method extends CustomMethod> = CustomRequests[Method]['answer'];

/** Notifications of the server, by method. */
export interface CustomNotifications {
  /**
   * Results may have changed for these open documents although they were not edited: another file or a setting has changed,
   * or bounds have been searched.
   * Sent if `changeNotifications` is set.
   */
  'enginewright/changed': { readonly uris: readonly string[] };
  /** The server needs these files, but the editor has not sent them. Sent if the editor sends files. */
  'enginewright/missing': { readonly uris: readonly string[] };
}

/** Notifications of the editor, by method. */
export interface EditorNotifications {
  /** The texts of files that the server cannot read itself. */
  'enginewright/files': { readonly files: readonly SentFile[] };
}

/** A file, or null as its text if it does not exist. */
export interface SentFile {
  readonly uri: string;
  readonly text: string | null;
}

/** The `initializationOptions` of an editor; all are optional. */
export interface InitializationOptions {
  /** The URI scheme for pages of checks; a finding then links to `SCHEME:/CHECK-ID.md`. */
  readonly checkPages?: string;
  /** The command that shows a list of places; it gets `ShowPlacesArguments`. */
  readonly showPlaces?: string;
  /** How many characters of the hints of a line the editor shows; what does not fit is counted. All are given if absent. */
  readonly hintLength?: number;
  /** The command that triggers completion again after a completion was inserted. */
  readonly suggestAgain?: string;
  /** The editor has the command `CHANGE_CELLS`, which gets `ChangeCellsArguments`. */
  readonly asksNumbers?: boolean;
  /** Send the notification `enginewright/changed`. */
  readonly changeNotifications?: boolean;
  /** The files that the server cannot read itself; the editor sends changes of them with `enginewright/files`. */
  readonly files?: readonly SentFile[];
}

/** The document, the position at which to show the list, and the places. */
export type ShowPlacesArguments = readonly [uri: string, position: Position, places: readonly Location[]];

/** The editor's command that requests a missing number, previews the change and applies it. */
export const CHANGE_CELLS = 'enginewright.changeCells';

/** The change, complete or without its number, and where. */
export type ChangeCellsArguments = readonly [
  work: Work | WorkAsked,
  uri: string,
  selections: readonly Range[],
];

/** A change without its number. */
export interface WorkAsked {
  readonly kind: Question;
  readonly axis?: 'x' | 'y';
}

export interface AboutDocument {
  readonly textDocument: { readonly uri: string };
}

export interface AddedState {
  readonly uri: string;
  /** The name of the operating point. */
  readonly name: string;
  readonly edits: readonly TextEdit[];
}

export interface ProofAnswer {
  /** Whether the findings are complete; false if the text has changed meanwhile. */
  readonly isCurrent: boolean;
}

export interface Objection {
  readonly message: string;
  /** An error makes the answer unusable; other findings may be intended. */
  readonly isError: boolean;
}

interface AtSelections extends AboutDocument {
  readonly selections: readonly Range[];
}

export interface CellChangeParams extends AtSelections {
  readonly work: Work;
}

export interface CellPromptParams extends AtSelections, WorkAsked {}

export interface CellChange {
  readonly title: string;
  readonly summary: string;
  readonly edits: readonly TextEdit[];
  /** The new text of each changed cell, for a preview. */
  readonly cells: readonly TextEdit[];
}

export interface TableViewParams extends AboutDocument {
  readonly position: Position;
  /** What is selected in the text; only the position if absent. */
  readonly selections?: readonly Range[];
  /** The path of the table shown last. */
  readonly path?: string;
  /** What to compare the table with: another table of the document, or the same table in an earlier text. */
  readonly against?: { readonly path: string } | { readonly text: string };
}

export interface TableViewAnswer {
  /** All tables of the document, for selection. */
  readonly tables: readonly ListedTable[];
  /** Null if there is none, or while it is incomplete; `path` is set in the second case. */
  readonly table: TableView | null;
  readonly path: string | null;
  /** The table minus the one that it is compared with; null if nothing is compared or the tables cannot be compared. */
  readonly difference: TableView | null;
  /** The range of each cell in the text. */
  readonly ranges: readonly (readonly Range[])[];
  /** The range of each breakpoint in the text; none for those written in another file. */
  readonly breakpoints: { readonly x: readonly Range[]; readonly y: readonly Range[] };
  /** The cell at the position. */
  readonly cursor: { readonly row: number; readonly column: number } | null;
  /** The cells that the selections span: its edges are included. Null if the position is on no cell of the table. */
  readonly selected: Rectangle | null;
}

export interface ListedTable {
  readonly path: string;
  readonly label: string;
  readonly range: Range;
  /** Whether the table shown can be compared with it. */
  readonly isComparable: boolean;
}

export interface ImageTextsParams extends AboutDocument {
  /** The name of the image file, whose ending may say its form. */
  readonly name: string;
  /** Its contents in base64. */
  readonly contents: string;
}

export interface ImageTextsAnswer {
  /** Every file of the installation; the same as now where the image holds what the text says. */
  readonly texts: readonly { readonly uri: string; readonly text: string }[];
  readonly matches: boolean;
  /** What no text can say: checksums, bytes of no value, values that no number of the text can state. */
  readonly notes: readonly string[];
  /** Why the image cannot be compared; absent if it can. */
  readonly problem?: string;
}

export interface ReviewParams extends AboutDocument {
  /** The committed texts of the document's installation, as far as the editor has fetched them. */
  readonly committed: readonly CommittedFile[];
}

/** `none`: the commit has no such file. `unversioned`: the file is in no repository, so its current text is used. */
export type CommittedFile =
  | { readonly uri: string; readonly state: 'committed'; readonly text: string }
  | { readonly uri: string; readonly state: 'none' | 'unversioned' };

export interface ReviewAnswer {
  /** Files whose committed texts must be fetched first. */
  readonly missing: readonly string[];
  /** Null while some are missing, and if the document was never committed. */
  readonly review: Review | null;
}

export interface Review {
  readonly verdict: Verdict;
  /** The verdict as a sentence. */
  readonly text: string;
  readonly items: readonly ReviewItem[];
  readonly oldValues: readonly OldValue[];
  /** The files of the working and the committed installation, including the document itself. */
  readonly files: readonly string[];
}

/** The sign for an item of the review, for an icon. */
export type ReviewSign =
  | Verdict
  | 'error'
  | 'warning'
  | 'note'
  | 'accepted'
  | 'gone'
  | 'beyond'
  | 'near'
  | 'lost'
  | 'moved'
  | 'changed'
  | 'map'
  | 'added'
  | 'removed'
  | 'renamed';

/** An item of the review, or a group of items. */
export interface ReviewItem {
  readonly label: string;
  /** Secondary text after the label. */
  readonly detail: string;
  /** The complete text, for a tooltip. */
  readonly text: string;
  /** Undefined for a group. */
  readonly sign?: ReviewSign;
  /** The place in the working text that it leads to. */
  readonly place?: Location;
  /** The path of a table that can be compared with its committed version. */
  readonly table?: string;
  readonly children?: readonly ReviewItem[];
  /** Whether a group is initially expanded. */
  readonly isOpen?: boolean;
}

/** The committed value, for display next to the changed one. */
export interface OldValue {
  readonly position: Position;
  /** `was 2.45 ms` */
  readonly text: string;
  /** The complete change as a sentence. */
  readonly tooltip: string;
}
