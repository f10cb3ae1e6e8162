import {
  type Connection,
  ErrorCodes,
  Message,
  type MessageStrategy,
  type RequestMessage,
  ResponseError,
} from 'vscode-languageserver/node';

/** The method that a request out of turn is turned into, so that its answer is the error. No editor knows of it. */
const REFUSED = '$/refused';

interface Refusal {
  readonly code: number;
  readonly message: string;
}

const TOO_EARLY: Refusal = {
  code: ErrorCodes.ServerNotInitialized,
  message: 'the server was not initialized yet',
};
const TWICE: Refusal = { code: ErrorCodes.InvalidRequest, message: 'the server was initialized before' };
const TOO_LATE: Refusal = { code: ErrorCodes.InvalidRequest, message: 'the server has been shut down' };

/**
 * Refuses what is asked before `initialize` or after `shutdown`, with the errors that the protocol has for it, and
 * ignores what is told then, but for `exit`.
 */
export class Lifecycle implements MessageStrategy {
  #state: 'new' | 'running' | 'shut down' = 'new';

  handleMessage(message: Message, next: (message: Message) => void): void {
    if (Message.isRequest(message)) {
      const refusal = this.#refusal(message.method);
      if (refusal) {
        const refused: RequestMessage = { ...message, method: REFUSED, params: { ...refusal } };
        next(refused);
        return;
      }
      if (message.method === 'initialize') this.#state = 'running';
      if (message.method === 'shutdown') this.#state = 'shut down';
    }
    const isIgnored =
      this.#state !== 'running' && Message.isNotification(message) && message.method !== 'exit';
    if (!isIgnored) next(message);
  }

  listen(connection: Connection): void {
    connection.onRequest(REFUSED, ({ code, message }: Refusal) => new ResponseError(code, message));
  }

  #refusal(method: string): Refusal | undefined {
    if (this.#state === 'shut down') return TOO_LATE;
    if (method === 'initialize') return this.#state === 'new' ? undefined : TWICE;
    return this.#state === 'new' ? TOO_EARLY : undefined;
  }
}
