import * as vscode from 'vscode';
import type { ControllerAnswers, ControllerQuestion } from '../shared/starting/controller-answers.ts';
import type { LanguageServer } from './language-server.ts';
import { askForPlace, writeAndShow } from './new-file.ts';

const TITLE = 'New controller file';
const LATER = 'Leave it empty to fill it in later.';

interface Asked {
  readonly question: ControllerQuestion;
  readonly prompt: string;
  readonly placeHolder: string;
}

const QUESTIONS: readonly Asked[] = [
  { question: 'name', prompt: 'What is the controller called?', placeHolder: 'as its data sheet calls it' },
  {
    question: 'connectors',
    prompt: 'How many positions has each of its connectors?',
    placeHolder: 'whole numbers, a comma between two: 20, 20, 8',
  },
  ...(
    [
      ['injectors', 'injector outputs'],
      ['coils', 'ignition outputs'],
      ['analog', 'inputs for a voltage'],
      ['temperatures', 'inputs for a temperature sensor'],
      ['pickups', 'inputs for crank and cam'],
    ] as const
  ).map(([question, what]) => ({
    question,
    prompt: `How many ${what} has it?`,
    placeHolder: 'a whole number',
  })),
];

/** Asks what is known of a controller and writes the file to begin with; leaving a question writes nothing. */
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
