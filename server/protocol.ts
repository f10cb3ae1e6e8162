// What the server and an editor say to each other beyond the Language Server Protocol. docs/protocol.md explains it to
// authors of editors, and a test holds both together.
import type { Location, Position, Range, TextEdit } from 'vscode-languageserver/node';
import type { Verdict } from '../shared/compare/verdict.ts';
import type { Answers, Question as InstallationQuestion } from '../shared/starting/answers.ts';
import type { ControllerAnswers, ControllerQuestion } from '../shared/starting/controller-answers.ts';
import type { Refusal } from '../shared/tables/change.ts';
import type { TableView } from '../shared/tables/view.ts';
import type { Prompt, Question, Work } from '../shared/tables/work.ts';
import type { Explanation, InstallationView, ValueAsked } from './features/installation-view-types.ts';

/** Requests of the editor, by method: what is sent, and what the server answers. */
export interface OwnRequests {
  /** The page of a check as Markdown; null for an id that no check has. */
  'enginewright/checkPage': { params: { readonly check: string }; answer: string | null };

  /** The installation that a document is part of; null where it is part of none. */
  'enginewright/installationView': { params: AboutDocument; answer: InstallationView | null };
  /** How a derived value came about; null where it does not follow from the text as it stands. */
  'enginewright/explanation': {
    params: AboutDocument & { readonly asked: ValueAsked };
    answer: Explanation | null;
  };

  /** The table at a place, or else the one of a path, as it stands now. */
  'enginewright/tableView': { params: TableViewParams; answer: TableViewAnswer | null };
  /** The edits that do some work at selections, or why there are none. */
  'enginewright/cellChange': { params: CellChangeParams; answer: CellChange | Refusal | null };
  /** What to ask the user for some work, or why it cannot be done. */
  'enginewright/cellPrompt': { params: CellPromptParams; answer: Prompt | Refusal | null };

  /** What the working text does to the engine since the last commit, or which files must be fetched first. */
  'enginewright/review': { params: ReviewParams; answer: ReviewAnswer | null };

  /** The text of an engine file to begin with, made of answers as they were typed. */
  'enginewright/newInstallation': { params: Answers; answer: string | null };
  /** What a check would say of an answer; null where it has nothing to say. */
  'enginewright/objection': {
    params: { readonly question: InstallationQuestion; readonly answer: string };
    answer: Objection | null;
  };
  /** The text of a controller file to begin with. */
  'enginewright/newController': { params: ControllerAnswers; answer: string | null };
  /** Why the answer to a question cannot be right, given those before it; null where it can. */
  'enginewright/controllerObjection': {
    params: { readonly question: ControllerQuestion; readonly answers: ControllerAnswers };
    answer: string | null;
  };
}

export type OwnMethod = keyof OwnRequests;
export type Params<Method extends OwnMethod> = OwnRequests[Method]['params'];
export type Answer<Method extends OwnMethod> = OwnRequests[Method]['answer'];

/** Notifications of the server, by method. */
export interface OwnNotifications {
  /**
   * Something else may follow from these open documents, though nothing was written in them: another file or a setting has
   * changed. Sent where `changeNotifications` is set.
   */
  'enginewright/changed': { readonly uris: readonly string[] };
}

/** What an editor may say of itself in `initializationOptions`; each can be left out. */
export interface InitializationOptions {
  /** The URI scheme under which it shows the page of a check; a finding then leads to `SCHEME:/CHECK-ID.md`. */
  readonly checkPages?: string;
  /** Its command that shows a list of places; it gets `ShowPlacesArguments`. */
  readonly showPlaces?: string;
  /** Its command that completes again after a completion was inserted. */
  readonly suggestAgain?: string;
  /** It has the command `CHANGE_CELLS`, which gets `ChangeCellsArguments`. */
  readonly asksNumbers?: boolean;
  /** It wants the notification `enginewright/changed`. */
  readonly changeNotifications?: boolean;
}

/** The document and the position at which the list is shown, and the places. */
export type ShowPlacesArguments = readonly [uri: string, position: Position, places: readonly Location[]];

/** The editor's command that asks for a number where one is wanting, shows what changes, and changes it. */
export const CHANGE_CELLS = 'enginewright.changeCells';

/** What to do, whole or still without its number, and where. */
export type ChangeCellsArguments = readonly [
  work: Work | WorkAsked,
  uri: string,
  selections: readonly Range[],
];

/** Work that still needs its number. */
export interface WorkAsked {
  readonly kind: Question;
  readonly axis?: 'x' | 'y';
}

export interface AboutDocument {
  readonly textDocument: { readonly uri: string };
}

export interface Objection {
  readonly message: string;
  /** An error makes the answer useless; anything else may be meant. */
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
  /** What becomes of each number, for a preview in the text. */
  readonly cells: readonly TextEdit[];
}

export interface TableViewParams extends AboutDocument {
  readonly position: Position;
  /** The path of the table last shown. */
  readonly path?: string;
  /** What the table shall be compared with: another one of the document, or itself in an earlier text. */
  readonly against?: { readonly path: string } | { readonly text: string };
}

export interface TableViewAnswer {
  /** Every table of the document, for a choice. */
  readonly tables: readonly ListedTable[];
  /** Null where there is none, or where it is not whole just now; `path` tells which. */
  readonly table: TableView | null;
  readonly path: string | null;
  /** What it has more than the one that it is compared with; null where it is not, or cannot be. */
  readonly difference: TableView | null;
  /** Where each cell stands in the text. */
  readonly ranges: readonly (readonly Range[])[];
  readonly cursor: { readonly row: number; readonly column: number } | null;
}

export interface ListedTable {
  readonly path: string;
  readonly label: string;
  readonly range: Range;
  /** Whether the table shown can be compared with this one. */
  readonly isComparable: boolean;
}

export interface ReviewParams extends AboutDocument {
  /** The committed texts of the files that the document takes part with, as far as the editor has fetched them. */
  readonly committed: readonly CommittedFile[];
}

/** `none`: the commit has no such file. `unversioned`: nobody keeps versions of it, so it is taken as it is. */
export type CommittedFile =
  | { readonly uri: string; readonly state: 'committed'; readonly text: string }
  | { readonly uri: string; readonly state: 'none' | 'unversioned' };

export interface ReviewAnswer {
  /** The files whose committed texts must be fetched first. */
  readonly missing: readonly string[];
  /** Null while some are missing, and where the document itself was never committed. */
  readonly review: Review | null;
}

export interface Review {
  readonly verdict: Verdict;
  /** The verdict in a sentence. */
  readonly text: string;
  readonly items: readonly ReviewItem[];
  readonly oldValues: readonly OldValue[];
  /** The files that the working text and the committed one take part with, themselves included. */
  readonly files: readonly string[];
}

/** What an editor may draw before a line of the review. */
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

/** A line of the review, or a group of them. */
export interface ReviewItem {
  readonly label: string;
  /** What stands behind the label, less weighty. */
  readonly detail: string;
  /** All of it, where a line has no room for that. */
  readonly text: string;
  /** Undefined for a group. */
  readonly sign?: ReviewSign;
  /** Where in the working text it leads. */
  readonly place?: Location;
  /** The path of a table that can be held against its committed version. */
  readonly table?: string;
  readonly children?: readonly ReviewItem[];
  /** Whether a group is opened unasked. */
  readonly isOpen?: boolean;
}

/** The old value, to be shown beside the new one. */
export interface OldValue {
  readonly position: Position;
  /** `was 2.45 ms` */
  readonly text: string;
  /** The whole change in words. */
  readonly tooltip: string;
}
