import * as vscode from 'vscode';
import {
  type Answer,
  type CellChange,
  CHANGE_CELLS,
  type ChangeCellsArguments,
  type WorkAsked,
} from '../server/protocol.ts';
import type { Work } from '../shared/tables/work.ts';
import { CellPreview } from './cell-preview.ts';
import type { LanguageServer } from './language-server.ts';

/** A range as in the protocol; a `vscode.Range` can be read as one too. */
export interface PlainRange {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

const commands: Readonly<Record<string, WorkAsked | Work>> = {
  setCells: { kind: 'set' },
  addToCells: { kind: 'add' },
  scaleCells: { kind: 'scale' },
  fillCells: { kind: 'fill' },
  smoothCells: { kind: 'smooth' },
  insertBreakpoint: { kind: 'insert' },
  deleteBreakpoint: { kind: 'delete' },
  resampleColumns: { kind: 'resample', axis: 'x' },
  resampleRows: { kind: 'resample', axis: 'y' },
  convertReference: { kind: 'reference' },
};

/**
 * The commands that change the cells selected in the text or, if it has the focus, in the map panel (`inPanel`). Each shows a
 * preview first.
 */
export function cellCommands(server: LanguageServer, inPanel: () => Where | undefined): vscode.Disposable[] {
  const run = async (work: WorkAsked | Work, where?: Where): Promise<void> => {
    const place = placeOf(server, where ?? inPanel());
    if (place) await (isWhole(work) ? confirmAndChange(place, work) : askAndChange(place, work));
  };
  return [
    // Called by a code action, which gives the place.
    vscode.commands.registerCommand(CHANGE_CELLS, (...[work, uri, selections]: ChangeCellsArguments) =>
      run(work, { uri, selections }),
    ),
    ...Object.entries(commands).map(([name, work]) =>
      vscode.commands.registerCommand(`enginewright.${name}`, () => run(work)),
    ),
  ];
}

function isWhole(work: WorkAsked | Work): work is Work {
  return 'text' in work || work.kind === 'fill' || work.kind === 'smooth' || work.kind === 'delete';
}

/** Selections in the text of a document. */
export interface Where {
  readonly uri: string;
  readonly selections: readonly PlainRange[];
}

/** Selections in a text, and requests to the server about them. */
export class Place {
  constructor(
    readonly server: LanguageServer,
    readonly document: vscode.TextDocument,
    readonly selections: readonly PlainRange[],
  ) {}

  prompt(asked: WorkAsked): Promise<Answer<'enginewright/cellPrompt'>> {
    return this.server.ask('enginewright/cellPrompt', { ...this.#where(), ...asked });
  }

  change(work: Work): Promise<Answer<'enginewright/cellChange'>> {
    return this.server.ask('enginewright/cellChange', { ...this.#where(), work });
  }

  #where() {
    const plain = ({ line, character }: PlainRange['start']) => ({ line, character });
    return {
      textDocument: { uri: this.document.uri.toString() },
      selections: this.selections.map(({ start, end }) => ({ start: plain(start), end: plain(end) })),
    };
  }
}

function placeOf(server: LanguageServer, where?: Where): Place | undefined {
  if (!where) {
    const editor = vscode.window.activeTextEditor;
    return editor && new Place(server, editor.document, editor.selections);
  }
  const document = vscode.workspace.textDocuments.find(({ uri }) => uri.toString() === where.uri);
  return document && new Place(server, document, where.selections);
}

/** Asks for the number and previews the new cells while it is typed. Escape cancels. */
async function askAndChange(place: Place, { kind, axis }: WorkAsked): Promise<void> {
  const asked = await place.prompt({ kind, ...(axis && { axis }) });
  if (!asked || 'refusal' in asked) return sayWhyNot(asked);
  const box = vscode.window.createInputBox();
  const preview = new CellPreview(place.document);
  box.prompt = asked.prompt;
  box.value = asked.answer;
  let current: Answer<'enginewright/cellChange'> = null;
  let typed = 0;
  const look = async (): Promise<void> => {
    const mine = ++typed;
    const text = box.value;
    const work = { kind, text, ...(axis && { axis }) } as Work;
    const answer = text.trim() === '' ? null : await place.change(work);
    if (mine !== typed) return;
    current = answer;
    preview.show(answer && !('refusal' in answer) ? answer : undefined);
    box.validationMessage = messageOf(answer);
  };
  box.onDidChangeValue(look);
  box.onDidAccept(async () => {
    await look();
    if (!current || 'refusal' in current) return;
    preview.show(undefined);
    box.hide();
    await apply(place.document, current);
  });
  box.onDidHide(() => {
    preview.dispose();
    box.dispose();
  });
  box.show();
  await look();
}

function messageOf(answer: Answer<'enginewright/cellChange'>): vscode.InputBoxValidationMessage | string {
  const { Error: wrong, Info: info } = vscode.InputBoxValidationSeverity;
  if (!answer) return '';
  if ('refusal' in answer) return { message: answer.refusal, severity: wrong };
  return { message: `${answer.title}: ${answer.summary}`, severity: info };
}

/** Previews the new cells in the text and lets the user confirm. */
async function confirmAndChange(place: Place, work: Work): Promise<void> {
  const answer = await place.change(work);
  if (!answer || 'refusal' in answer) return sayWhyNot(answer);
  const preview = new CellPreview(place.document);
  preview.show(answer);
  const yes = { label: answer.title, detail: answer.summary };
  const chosen = await vscode.window.showQuickPick([yes, { label: 'Cancel' }], {
    placeHolder: 'The editor shows a preview of the change',
  });
  preview.dispose();
  if (chosen === yes) await apply(place.document, answer);
}

/** Writes a change as one step of undo. */
export async function apply({ uri }: vscode.TextDocument, { edits }: CellChange): Promise<void> {
  const edit = new vscode.WorkspaceEdit();
  for (const { range, newText } of edits) edit.replace(uri, rangeFrom(range), newText);
  await vscode.workspace.applyEdit(edit);
}

function sayWhyNot(answer: { readonly refusal: string } | null): void {
  void vscode.window.showInformationMessage(answer?.refusal ?? 'Open an engine file first.');
}

export function rangeFrom({ start, end }: PlainRange): vscode.Range {
  return new vscode.Range(start.line, start.character, end.line, end.character);
}
