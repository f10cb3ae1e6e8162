import type { Range } from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';
import type { Stretch } from '../../shared/tables/block.ts';
import { type Change, isRefusal, type Refusal } from '../../shared/tables/change.ts';
import { change, type Prompt, promptFor, type Spot, spotOf } from '../../shared/tables/work.ts';
import { rangeOf } from '../places.ts';
import type { CellChange, CellChangeParams, CellPromptParams } from '../protocol.ts';
import { answerCustom, type Feature } from './feature.ts';

export const cellChange: Feature = {
  capabilities: {},
  listen: (connection, { from }) => {
    answerCustom(connection, 'enginewright/cellChange', from(cellChangeOf));
    answerCustom(connection, 'enginewright/cellPrompt', from(cellPromptOf));
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
  return spotOf(analysis, stretchesIn(analysis.file, selections));
}

export const stretchesIn = ({ lines }: SourceFile, selections: readonly Range[]): Stretch[] =>
  selections.map(({ start, end }) => ({ start: lines.offset(start), end: lines.offset(end) }));

export function protocolChange({ file }: Analysis, { title, summary, edits, cells }: Change): CellChange {
  return {
    title,
    summary,
    edits: edits.map(({ span, text }) => ({ range: rangeOf(file, span), newText: text })),
    cells: cells.map(({ node, text }) => ({ range: rangeOf(file, node), newText: text })),
  };
}
