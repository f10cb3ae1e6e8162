import type { Range, TextEdit } from 'vscode-languageserver/node';
import type { Analysis } from '../../shared/analysis.ts';
import { type Change, isRefusal, type Refusal } from '../../shared/tables/change.ts';
import {
  change,
  type Prompt,
  promptFor,
  type Question,
  type Spot,
  spotOf,
  type Work,
} from '../../shared/tables/work.ts';
import { rangeOf } from '../places.ts';
import type { Feature } from './feature.ts';

/** Request: selections and the work to do there. Answer: the edits, and what they change; or why there are none. */
export const CELL_CHANGE = 'enginewright/cellChange';
/** Request: selections and a kind of work. Answer: what to ask the user for it; or why it cannot be done. */
export const CELL_PROMPT = 'enginewright/cellPrompt';

interface AtSelections {
  readonly textDocument: { readonly uri: string };
  readonly selections: readonly Range[];
}

export interface CellChangeParams extends AtSelections {
  readonly work: Work;
}

export interface CellPromptParams extends AtSelections {
  readonly kind: Question;
  readonly axis?: 'x' | 'y';
}

export interface CellChange {
  readonly title: string;
  readonly summary: string;
  readonly edits: readonly TextEdit[];
  /** What becomes of each number, for a preview in the text. */
  readonly cells: readonly TextEdit[];
}

export const cellChange: Feature = {
  capabilities: {},
  listen: (connection, { from }) => {
    connection.onRequest<CellChange | Refusal | null, unknown>(CELL_CHANGE, from(cellChangeOf));
    connection.onRequest<Prompt | Refusal | null, unknown>(CELL_PROMPT, from(cellPromptOf));
  },
};

export function cellChangeOf(
  analysis: Analysis,
  { selections, work }: CellChangeParams,
): CellChange | Refusal {
  const outcome = change(spotIn(analysis, selections), work);
  return isRefusal(outcome) ? outcome : protocolChange(analysis, outcome);
}

export function cellPromptOf(
  analysis: Analysis,
  { selections, kind, axis }: CellPromptParams,
): Prompt | Refusal {
  return promptFor(spotIn(analysis, selections), kind, axis);
}

export function spotIn(analysis: Analysis, selections: readonly Range[]): Spot {
  const { lines } = analysis.file;
  const stretches = selections.map(({ start, end }) => ({
    start: lines.offset(start),
    end: lines.offset(end),
  }));
  return spotOf(analysis, stretches);
}

export function protocolChange({ file }: Analysis, { title, summary, edits, cells }: Change): CellChange {
  return {
    title,
    summary,
    edits: edits.map(({ span, text }) => ({ range: rangeOf(file, span), newText: text })),
    cells: cells.map(({ node, text }) => ({ range: rangeOf(file, node), newText: text })),
  };
}
