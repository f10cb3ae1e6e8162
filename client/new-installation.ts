import * as vscode from 'vscode';
import { referenceTo } from '../shared/configuration/project.ts';
import type { Answers, Question } from '../shared/starting/answers.ts';
import type { LanguageServer } from './language-server.ts';
import { newController } from './new-controller.ts';
import { askForPlace, writeAndShow } from './new-file.ts';

const TITLE = 'New Installation';
const STEPS = 6;
const LATER = 'Leave empty to fill it in later.';

/** Asks about an installation and writes a first engine file. Cancelling a question writes nothing. */
export async function newInstallation(server: LanguageServer): Promise<void> {
  const ask = (step: number, question: Question, prompt: string, placeHolder: string) =>
    vscode.window.showInputBox({
      title: titleOf(step),
      prompt: `${prompt} ${LATER}`,
      placeHolder,
      ignoreFocusOut: true,
      validateInput: (answer) => objection(server, question, answer),
    });

  const title = await ask(
    1,
    'title',
    'Enter the name of the installation.',
    'For example: Tow plane, second engine',
  );
  if (title === undefined) return;
  const cylinders = await ask(2, 'cylinders', 'How many cylinders does the engine have?', 'Whole number');
  if (cylinders === undefined) return;
  const bore = await ask(
    3,
    'bore',
    'Enter the cylinder bore with its unit.',
    'Number and unit (mm, cm or in)',
  );
  if (bore === undefined) return;
  const stroke = await ask(
    4,
    'stroke',
    'Enter the piston stroke with its unit.',
    'Number and unit (mm, cm or in)',
  );
  if (stroke === undefined) return;
  const boosted = await askWhetherBoosted();
  if (boosted === undefined) return;
  const controller = await askForController(server);
  if (controller === undefined) return;
  const file = await askForPlace(TITLE, title, 'engine');
  if (file === undefined) return;

  const answers: Answers = {
    ...{ title, cylinders, bore, stroke, boosted },
    ...(controller && { controller: referenceTo(controller.path, file.path) }),
  };
  await writeAndShow(file, await server.ask('enginewright/newInstallation', answers));
}

const titleOf = (step: number): string => `${TITLE} (${step} of ${STEPS})`;

/** What the checks say about an answer. */
async function objection(
  server: LanguageServer,
  question: Question,
  answer: string,
): Promise<vscode.InputBoxValidationMessage | undefined> {
  if (answer.trim() === '') return undefined;
  const found = await server.ask('enginewright/objection', { question, answer });
  if (found === null) return undefined;
  const { Error: error, Warning: warning } = vscode.InputBoxValidationSeverity;
  return { message: found.message, severity: found.isError ? error : warning };
}

async function askWhetherBoosted(): Promise<boolean | undefined> {
  const items = [
    {
      label: 'Turbocharged',
      detail: 'Adds sections for the compressor, the intercooler and the boost target.',
      boosted: true,
    },
    {
      label: 'Naturally aspirated',
      detail: 'Manifold pressure does not exceed ambient pressure.',
      boosted: false,
    },
  ];
  const options = { title: titleOf(5), placeHolder: 'Select the type of induction', ignoreFocusOut: true };
  return (await vscode.window.showQuickPick(items, options))?.boosted;
}

/** The controller file; null if there is none yet, undefined if the question was cancelled. */
async function askForController(server: LanguageServer): Promise<vscode.Uri | null | undefined> {
  const found = await vscode.workspace.findFiles('**/*.controller.yaml', '**/node_modules/**');
  const items = [
    ...found.map((uri) => ({ label: vscode.workspace.asRelativePath(uri), choose: async () => uri })),
    { label: 'Browse…', choose: browseForController },
    {
      label: 'New controller file…',
      detail: 'Answer a few questions. Values that must come from the data sheet become placeholders.',
      choose: () => newController(server),
    },
    { label: 'No controller yet', detail: 'Writes a placeholder.', choose: async () => null },
  ];
  const options = {
    title: titleOf(6),
    placeHolder: 'Select the controller that the engine is wired to',
    ignoreFocusOut: true,
  };
  return (await vscode.window.showQuickPick(items, options))?.choose();
}

async function browseForController(): Promise<vscode.Uri | undefined> {
  const filters = { 'Controller files': ['yaml'] };
  return (await vscode.window.showOpenDialog({ title: TITLE, filters }))?.[0];
}
