import type { Answers, Question } from '../../shared/starting/answers.ts';
import {
  type ControllerAnswers,
  type ControllerQuestion,
  objectionToController,
} from '../../shared/starting/controller-answers.ts';
import { newController } from '../../shared/starting/new-controller.ts';
import { newInstallation } from '../../shared/starting/new-installation.ts';
import { objectionTo } from '../../shared/starting/objection.ts';
import type { Feature } from './feature.ts';

/** Request: answers to the questions, as they were typed. Answer: the text of the file to begin with. */
export const NEW_INSTALLATION = 'enginewright/newInstallation';

/** Request: a question and its answer. Answer: what a check would say of it, null where it has nothing to say. */
export const OBJECTION = 'enginewright/objection';

/** The same for a controller file. */
export const NEW_CONTROLLER = 'enginewright/newController';

/** Request: a question, and its answer with those before it. Answer: why that cannot be, null where it can. */
export const CONTROLLER_OBJECTION = 'enginewright/controllerObjection';

export interface Objection {
  readonly message: string;
  /** An error makes the answer useless; anything else may be meant. */
  readonly isError: boolean;
}

export const newInstallations: Feature = {
  capabilities: {},
  listen: (connection, { alone }) => {
    connection.onRequest(
      NEW_INSTALLATION,
      alone((answers: Answers) => newInstallation(answers), null),
    );
    connection.onRequest(
      NEW_CONTROLLER,
      alone((answers: ControllerAnswers) => newController(answers), null),
    );
    connection.onRequest(
      CONTROLLER_OBJECTION,
      alone(
        ({ question, answers }: { question: ControllerQuestion; answers: ControllerAnswers }) =>
          objectionToController(question, answers) ?? null,
        null,
      ),
    );
    connection.onRequest(
      OBJECTION,
      alone(({ question, answer }: { question: Question; answer: string }): Objection | null => {
        const found = objectionTo(question, answer);
        return found ? { message: found.message, isError: found.severity === 'error' } : null;
      }, null),
    );
  },
};
