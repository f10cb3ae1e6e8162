import { type CodeAction, CodeActionKind, type CodeActionParams, type Command } from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { middleBehind } from '../../shared/tables/breakpoints.ts';
import { isRefusal } from '../../shared/tables/change.ts';
import {
  change,
  otherReference,
  otherUnits,
  promptFor,
  type Question,
  type Spot,
  STANDARD_AMBIENT,
  type Work,
} from '../../shared/tables/work.ts';
import type { Editor } from '../editor.ts';
import { CHANGE_CELLS, type ChangeCellsArguments, type WorkAsked } from '../protocol.ts';
import { protocolChange, spotIn } from './cell-change.ts';

const KIND = CodeActionKind.RefactorRewrite;

/** The actions for the cells, the breakpoint or the value in the range. */
export function cellActionsFor(analysis: Analysis, params: CodeActionParams, editor: Editor): CodeAction[] {
  const { only } = params.context;
  if (only && !only.some((wanted) => KIND === wanted || KIND.startsWith(`${wanted}.`))) return [];
  const spot = spotIn(analysis, [params.range]);
  const at = { analysis, spot, params, editor };
  return [
    ...(spot.block ? cellWork(at) : []),
    ...(spot.breakpoint ? breakpointWork(at) : []),
    ...conversions(at),
  ];
}

interface At {
  readonly analysis: Analysis;
  readonly spot: Spot;
  readonly params: CodeActionParams;
  readonly editor: Editor;
}

function cellWork(at: At): CodeAction[] {
  return [
    ...asking(at, 'Set cells…', 'set'),
    ...asking(at, 'Add to cells…', 'add'),
    ...asking(at, 'Scale cells…', 'scale'),
    ...doing(at, { kind: 'fill' }),
    ...doing(at, { kind: 'smooth' }),
  ];
}

function breakpointWork(at: At): CodeAction[] {
  const { axis, index, table } = at.spot.breakpoint!;
  const middle = middleBehind(table[axis]!, index);
  return [
    ...(middle === undefined ? [] : doing(at, { kind: 'insert', text: middle })),
    ...asking(at, 'Insert breakpoint…', 'insert'),
    ...doing(at, { kind: 'delete' }),
    ...asking(at, 'Resample to other breakpoints…', 'resample'),
  ];
}

function conversions(at: At): CodeAction[] {
  const reference = otherReference(at.spot);
  const ambient = { kind: 'reference', text: STANDARD_AMBIENT } as const;
  return [
    ...otherUnits(at.spot).flatMap((unit) => doing(at, { kind: 'unit', text: unit })),
    ...(reference === undefined
      ? []
      : at.editor.asksNumbers
        ? asking(at, `Convert to ${reference} at a given ambient pressure…`, 'reference')
        : doing(at, ambient, ` at ${STANDARD_AMBIENT}`)),
  ];
}

/**
 * An action that needs no number; none if it cannot be done or changes nothing. An editor that can preview the change of
 * each cell does so first.
 */
function doing({ analysis, spot, params, editor }: At, work: Work, more = ''): CodeAction[] {
  const outcome = change(spot, work);
  if (isRefusal(outcome) || outcome.edits.length === 0) return [];
  const { title: what, summary, edits } = protocolChange(analysis, outcome);
  const { uri } = params.textDocument;
  const title = `${what}${more} (${summary})`;
  if (editor.asksNumbers && edits.length > 1)
    return [{ title, kind: KIND, command: command(title, work, params) }];
  return [{ title, kind: KIND, edit: { changes: { [uri]: [...edits] } } }];
}

/** An action for which the editor first asks for a number. */
function asking({ spot, params, editor }: At, title: string, kind: Question): CodeAction[] {
  if (!editor.asksNumbers || isRefusal(promptFor(spot, kind))) return [];
  return [{ title, kind: KIND, command: command(title, { kind }, params) }];
}

/** The editor's command for an action, complete or still without its number. */
function command(title: string, work: Work | WorkAsked, { textDocument, range }: CodeActionParams): Command {
  const given: ChangeCellsArguments = [work, textDocument.uri, [range]];
  return { title, command: CHANGE_CELLS, arguments: [...given] };
}
