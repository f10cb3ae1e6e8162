import * as vscode from 'vscode';
import { referenceTo } from '../shared/configuration/project.ts';
import type { Answers, Question } from '../shared/starting/answers.ts';
import type { LanguageServer } from './language-server.ts';
import { newController } from './new-controller.ts';
import { askForPlace, writeAndShow } from './new-file.ts';

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

/** What the checks of a file say of the answer. */
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
      detail: 'Compressor, charge cooler and boost target have their section.',
      boosted: true,
    },
    { label: 'Aspirated', detail: 'The manifold never sees more than ambient pressure.', boosted: false },
  ];
  const options = { title: titleOf(5), ignoreFocusOut: true };
  return (await vscode.window.showQuickPick(items, options))?.boosted;
}

/** The controller file; null where there is none yet, undefined where the question was left. */
async function askForController(server: LanguageServer): Promise<vscode.Uri | null | undefined> {
  const found = await vscode.workspace.findFiles('**/*.controller.yaml', '**/node_modules/**');
  const items = [
    ...found.map((uri) => ({ label: vscode.workspace.asRelativePath(uri), choose: async () => uri })),
    { label: 'Another file…', choose: browseForController },
    {
      label: 'A new one…',
      detail: 'A few questions make its file; what the data sheet alone can say stays open.',
      choose: () => newController(server),
    },
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
