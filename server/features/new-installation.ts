import type { Answers, Question } from '../../shared/starting/answers.ts';
import { newInstallation } from '../../shared/starting/new-installation.ts';
import { objectionTo } from '../../shared/starting/objection.ts';
import type { Feature } from './feature.ts';

/** Request: answers to the questions, as they were typed. Answer: the text of the file to begin with. */
export const NEW_INSTALLATION = 'enginewright/newInstallation';

/** Request: a question and its answer. Answer: what a check would say of it, null where it has nothing to say. */
export const OBJECTION = 'enginewright/objection';

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
      OBJECTION,
      alone(({ question, answer }: { question: Question; answer: string }): Objection | null => {
        const found = objectionTo(question, answer);
        return found ? { message: found.message, isError: found.severity === 'error' } : null;
      }, null),
    );
  },
};
