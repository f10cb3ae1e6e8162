import * as vscode from 'vscode';
import type { CellChange } from '../server/features/cell-change.ts';
import type { Prompt, Question, Work } from '../shared/tables/work.ts';
import { CellPreview } from './cell-preview.ts';
import type { LanguageServer } from './language-server.ts';

type Answer<Good> = Good | { readonly refusal: string } | null;

/** A selection as the protocol writes it, which is also how the editor's own are read. */
interface PlainRange {
  readonly start: { readonly line: number; readonly character: number };
  readonly end: { readonly line: number; readonly character: number };
}

interface Asked {
  readonly kind: Question;
  readonly axis?: 'x' | 'y';
}

const questions: Readonly<Record<string, Asked>> = {
  setCells: { kind: 'set' },
  addToCells: { kind: 'add' },
  scaleCells: { kind: 'scale' },
  insertBreakpoint: { kind: 'insert' },
  resampleColumns: { kind: 'resample', axis: 'x' },
  resampleRows: { kind: 'resample', axis: 'y' },
  convertReference: { kind: 'reference' },
};

const direct: Readonly<Record<string, Work>> = {
  fillCells: { kind: 'fill' },
  smoothCells: { kind: 'smooth' },
  deleteBreakpoint: { kind: 'delete' },
};

/** The commands that work on the cells selected in the text. Each shows what it changes before it does. */
export function cellCommands(server: LanguageServer): vscode.Disposable[] {
  const register = vscode.commands.registerCommand;
  return [
    // Behind a code action, which says where.
    register(
      'enginewright.changeCells',
      (kind: Question, uri: string, selections: readonly PlainRange[]) =>
        askAndChange(server, { kind }, { uri, selections }),
    ),
    ...Object.entries(questions).map(([name, asked]) =>
      register(`enginewright.${name}`, () => askAndChange(server, asked)),
    ),
    ...Object.entries(direct).map(([name, work]) =>
      register(`enginewright.${name}`, () => showAndChange(server, work)),
    ),
  ];
}

class Place {
  constructor(
    readonly server: LanguageServer,
    readonly editor: vscode.TextEditor,
    readonly selections: readonly PlainRange[],
  ) {}

  ask<Good>(request: string, params: object): Promise<Answer<Good>> {
    return this.server.ask(request, {
      textDocument: { uri: this.editor.document.uri.toString() },
      selections: this.selections.map(({ start, end }) => ({
        start: { line: start.line, character: start.character },
        end: { line: end.line, character: end.character },
      })),
      ...params,
    });
  }

  change(work: Work): Promise<Answer<CellChange>> {
    return this.ask('enginewright/cellChange', { work });
  }
}

interface Where {
  readonly uri: string;
  readonly selections: readonly PlainRange[];
}

function placeOf(server: LanguageServer, where?: Where): Place | undefined {
  const editor = where
    ? vscode.window.visibleTextEditors.find(({ document }) => document.uri.toString() === where.uri)
    : vscode.window.activeTextEditor;
  return editor && new Place(server, editor, where?.selections ?? editor.selections);
}

/** Asks for the number. While it is typed, the text shows what each cell becomes; Escape leaves all as it was. */
async function askAndChange(server: LanguageServer, { kind, axis }: Asked, where?: Where): Promise<void> {
  const place = placeOf(server, where);
  if (!place) return;
  const asked = await place.ask<Prompt>('enginewright/cellPrompt', { kind, ...(axis && { axis }) });
  if (!asked || 'refusal' in asked) return sayWhyNot(asked);
  const box = vscode.window.createInputBox();
  const preview = new CellPreview(place.editor);
  box.prompt = asked.prompt;
  box.value = asked.answer;
  let current: Answer<CellChange> = null;
  let typed = 0;
  const look = async (): Promise<void> => {
    const mine = ++typed;
    const text = box.value;
    const work = { kind, text, ...(axis && { axis }) } as Work;
    const answer = text.trim() === '' ? null : await place.change(work);
    if (mine !== typed) return;
    current = answer;
    const { Error: wrong, Info: info } = vscode.InputBoxValidationSeverity;
    const good = answer && !('refusal' in answer) ? answer : undefined;
    preview.show(good?.cells ?? []);
    if (!answer) box.validationMessage = '';
    else if ('refusal' in answer) box.validationMessage = { message: answer.refusal, severity: wrong };
    else box.validationMessage = { message: `${answer.title}: ${answer.summary}`, severity: info };
  };
  box.onDidChangeValue(look);
  box.onDidAccept(async () => {
    await look();
    if (!current || 'refusal' in current) return;
    box.hide();
    await apply(place.editor, current);
  });
  box.onDidHide(() => {
    preview.dispose();
    box.dispose();
  });
  box.show();
  await look();
}

async function showAndChange(server: LanguageServer, work: Work): Promise<void> {
  const place = placeOf(server);
  if (!place) return;
  const answer = await place.change(work);
  if (!answer || 'refusal' in answer) return sayWhyNot(answer);
  const edit = new vscode.WorkspaceEdit();
  const metadata = { label: answer.title, description: answer.summary, needsConfirmation: true };
  for (const { range, newText } of answer.edits)
    edit.replace(place.editor.document.uri, rangeFrom(range), newText, metadata);
  await vscode.workspace.applyEdit(edit, { isRefactoring: true });
}

async function apply(editor: vscode.TextEditor, { edits }: CellChange): Promise<void> {
  await editor.edit((builder) => {
    for (const { range, newText } of edits) builder.replace(rangeFrom(range), newText);
  });
}

function sayWhyNot(answer: { readonly refusal: string } | null): void {
  void vscode.window.showInformationMessage(answer?.refusal ?? 'Open an engine file first.');
}

export function rangeFrom({ start, end }: PlainRange): vscode.Range {
  return new vscode.Range(start.line, start.character, end.line, end.character);
}
