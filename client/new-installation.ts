import { posix } from 'node:path';
import * as vscode from 'vscode';
import type { Objection } from '../server/features/new-installation.ts';
import type { Answers, Question } from '../shared/starting/answers.ts';
import type { LanguageServer } from './language-server.ts';

const TITLE = 'New installation';
const STEPS = 6;
const LATER = 'Leave it empty to fill it in later.';

/** Asks what is known of an installation and writes the file to begin with; leaving a question writes nothing. */
export async function newInstallation(server: LanguageServer): Promise<void> {
  const ask = (step: number, question: Question, prompt: string, placeHolder: string) =>
    vscode.window.showInputBox({
      title: titleOf(step),
      prompt: `${prompt} ${LATER}`,
      placeHolder,
      ignoreFocusOut: true,
      validateInput: (answer) => objection(server, question, answer),
    });

  const title = await ask(1, 'title', 'What is the installation called?', 'Tow plane, second engine');
  if (title === undefined) return;
  const cylinders = await ask(2, 'cylinders', 'How many cylinders?', 'a whole number');
  if (cylinders === undefined) return;
  const bore = await ask(3, 'bore', 'The cylinder bore, with its unit?', 'a number with mm, cm or in');
  if (bore === undefined) return;
  const stroke = await ask(4, 'stroke', 'The piston stroke, with its unit?', 'a number with mm, cm or in');
  if (stroke === undefined) return;
  const boosted = await askWhetherBoosted();
  if (boosted === undefined) return;
  const controller = await askForController();
  if (controller === undefined) return;
  const file = await askForPlace(title);
  if (file === undefined) return;

  const answers: Answers = {
    ...{ title, cylinders, bore, stroke, boosted },
    ...(controller && { controller: referenceTo(controller, file) }),
  };
  const text = await server.ask<string | null>('enginewright/newInstallation', answers);
  if (text === null) throw new Error('The language server could not write the file.');
  await vscode.workspace.fs.writeFile(file, new TextEncoder().encode(text));
  await vscode.window.showTextDocument(file, { preview: false });
}

const titleOf = (step: number): string => `${TITLE} (${step} of ${STEPS})`;

/** What the checks of a file say of the answer. */
async function objection(
  server: LanguageServer,
  question: Question,
  answer: string,
): Promise<vscode.InputBoxValidationMessage | undefined> {
  if (answer.trim() === '') return undefined;
  const found = await server.ask<Objection | null>('enginewright/objection', { question, answer });
  if (found === null) return undefined;
  const { Error: error, Warning: warning } = vscode.InputBoxValidationSeverity;
  return { message: found.message, severity: found.isError ? error : warning };
}

async function askWhetherBoosted(): Promise<boolean | undefined> {
  const items = [
    {
      label: 'Turbocharged',
      detail: 'Compressor, charge cooler and boost target have their section.',
      boosted: true,
    },
    { label: 'Aspirated', detail: 'The manifold never sees more than ambient pressure.', boosted: false },
  ];
  const options = { title: titleOf(5), ignoreFocusOut: true };
  return (await vscode.window.showQuickPick(items, options))?.boosted;
}

/** The controller file; null where there is none yet, undefined where the question was left. */
async function askForController(): Promise<vscode.Uri | null | undefined> {
  const found = await vscode.workspace.findFiles('**/*.controller.yaml', '**/node_modules/**');
  const items = [
    ...found.map((uri) => ({ label: vscode.workspace.asRelativePath(uri), choose: async () => uri })),
    { label: 'Another file…', choose: browseForController },
    { label: 'None yet', detail: 'A placeholder stands for it.', choose: async () => null },
  ];
  const options = {
    title: titleOf(6),
    placeHolder: 'The controller that the engine is wired to',
    ignoreFocusOut: true,
  };
  return (await vscode.window.showQuickPick(items, options))?.choose();
}

async function browseForController(): Promise<vscode.Uri | undefined> {
  const filters = { 'Controller files': ['yaml'] };
  return (await vscode.window.showOpenDialog({ title: TITLE, filters }))?.[0];
}

const ENDING = '.engine.yaml';

/** Where to write the file; other names would not be looked after, so they are refused. */
async function askForPlace(title: string): Promise<vscode.Uri | undefined> {
  const name = title
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, '-')
    .replaceAll(/^-|-$/g, '');
  const folder = vscode.workspace.workspaceFolders?.[0]?.uri;
  const file = await vscode.window.showSaveDialog({
    title: TITLE,
    filters: { 'Engine files': ['yaml'] },
    ...(folder && { defaultUri: vscode.Uri.joinPath(folder, `${name || 'new'}${ENDING}`) }),
  });
  if (file === undefined || file.path.endsWith(ENDING)) return file;
  void vscode.window.showErrorMessage(`The name of an engine file ends in ${ENDING}; nothing was written.`);
  return undefined;
}

/** The path of a file as another one has it. */
function referenceTo(file: vscode.Uri, from: vscode.Uri): string {
  const path = posix.relative(posix.dirname(from.path), file.path);
  return path.startsWith('.') ? path : `./${path}`;
}
