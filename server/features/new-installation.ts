import { findingAboutController } from '../../shared/starting/controller-answers.ts';
import { findingAboutAnswer } from '../../shared/starting/finding-about.ts';
import { newController } from '../../shared/starting/new-controller.ts';
import { newInstallation } from '../../shared/starting/new-installation.ts';
import { plainText } from '../plain-text.ts';
import type { Objection, Params } from '../protocol.ts';
import { answerCustom, type Feature } from './feature.ts';

/** The text of a new file, and the fault of an answer to one of the questions before it. */
export const newInstallations: Feature = {
  capabilities: {},
  listen: (connection, { alone }) => {
    answerCustom(connection, 'enginewright/newInstallation', alone(newInstallation, null));
    answerCustom(connection, 'enginewright/objection', alone(objection, null));
    answerCustom(connection, 'enginewright/newController', alone(newController, null));
    answerCustom(connection, 'enginewright/controllerObjection', alone(controllerObjection, null));
  },
};

function objection({ question, answer }: Params<'enginewright/objection'>): Objection | null {
  const found = findingAboutAnswer(question, answer);
  return found ? { message: plainText(found.message), isError: found.severity === 'error' } : null;
}

function controllerObjection({
  question,
  answers,
}: Params<'enginewright/controllerObjection'>): string | null {
  return findingAboutController(question, answers) ?? null;
}
