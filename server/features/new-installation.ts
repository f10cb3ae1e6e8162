import { objectionToController } from '../../shared/starting/controller-answers.ts';
import { newController } from '../../shared/starting/new-controller.ts';
import { newInstallation } from '../../shared/starting/new-installation.ts';
import { objectionTo } from '../../shared/starting/objection.ts';
import { plainText } from '../plain-text.ts';
import type { Objection, Params } from '../protocol.ts';
import { answerOwn, type Feature } from './feature.ts';

/** The text of a new file, and the fault of an answer to one of the questions before it. */
export const newInstallations: Feature = {
  capabilities: {},
  listen: (connection, { alone }) => {
    answerOwn(connection, 'enginewright/newInstallation', alone(newInstallation, null));
    answerOwn(connection, 'enginewright/objection', alone(objection, null));
    answerOwn(connection, 'enginewright/newController', alone(newController, null));
    answerOwn(connection, 'enginewright/controllerObjection', alone(controllerObjection, null));
  },
};

function objection({ question, answer }: Params<'enginewright/objection'>): Objection | null {
  const found = objectionTo(question, answer);
  return found ? { message: plainText(found.message), isError: found.severity === 'error' } : null;
}

function controllerObjection({
  question,
  answers,
}: Params<'enginewright/controllerObjection'>): string | null {
  return objectionToController(question, answers) ?? null;
}
