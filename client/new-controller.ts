import * as vscode from 'vscode';
import type { ControllerAnswers, ControllerQuestion } from '../shared/starting/controller-answers.ts';
import type { LanguageServer } from './language-server.ts';
import { askForPlace, writeAndShow } from './new-file.ts';

const TITLE = 'New Controller File';
const LATER = 'Leave empty to fill it in later.';

interface Asked {
  readonly question: ControllerQuestion;
  readonly prompt: string;
  readonly placeHolder: string;
}

const QUESTIONS: readonly Asked[] = [
  { question: 'name', prompt: 'Enter the name of the controller.', placeHolder: 'Name in its data sheet' },
  {
    question: 'connectors',
    prompt: 'Enter the number of pins of each connector.',
    placeHolder: 'Whole numbers separated by commas, such as 20, 20, 8',
  },
  ...(
    [
      ['injectors', 'injector outputs'],
      ['coils', 'ignition outputs'],
      ['analog', 'voltage inputs'],
      ['temperatures', 'temperature sensor inputs'],
      ['pickups', 'crank and cam sensor inputs'],
    ] as const
  ).map(([question, what]) => ({
    question,
    prompt: `How many ${what} does the controller have?`,
    placeHolder: 'Whole number',
  })),
];

/** Asks about a controller and writes a first controller file. Cancelling a question writes nothing. */
export async function newController(server: LanguageServer): Promise<vscode.Uri | undefined> {
  let answers: ControllerAnswers = {};
  for (const [index, { question, prompt, placeHolder }] of QUESTIONS.entries()) {
    const earlier = answers;
    const answer = await vscode.window.showInputBox({
      title: `${TITLE} (${index + 1} of ${QUESTIONS.length})`,
      prompt: `${prompt} ${LATER}`,
      placeHolder,
      ignoreFocusOut: true,
      validateInput: (typed) =>
        server.ask('enginewright/controllerObjection', {
          question,
          answers: { ...earlier, [question]: typed },
        }),
    });
    if (answer === undefined) return undefined;
    answers = { ...answers, [question]: answer };
  }
  const file = await askForPlace(TITLE, answers.name ?? '', 'controller');
  if (file === undefined) return undefined;
  await writeAndShow(file, await server.ask('enginewright/newController', answers));
  return file;
}
