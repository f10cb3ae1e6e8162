import {
  type Connection,
  ErrorCodes,
  Message,
  type MessageStrategy,
  type RequestMessage,
  ResponseError,
} from 'vscode-languageserver';

/** An internal method: requests that are out of order are redirected to it and answered with the error. */
const REFUSED = '$/refused';

interface RejectedRequest {
  readonly code: number;
  readonly message: string;
}

const TOO_EARLY: RejectedRequest = {
  code: ErrorCodes.ServerNotInitialized,
  message: 'The server has not been initialized.',
};
const TWICE: RejectedRequest = {
  code: ErrorCodes.InvalidRequest,
  message: 'The server has already been initialized.',
};
const TOO_LATE: RejectedRequest = {
  code: ErrorCodes.InvalidRequest,
  message: 'The server has been shut down.',
};

/**
 * Refuses requests before `initialize` and after `shutdown` with the errors of the protocol, and ignores notifications
 * then, except `exit`.
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
    connection.onRequest(REFUSED, ({ code, message }: RejectedRequest) => new ResponseError(code, message));
  }

  #refusal(method: string): RejectedRequest | undefined {
    if (this.#state === 'shut down') return TOO_LATE;
    if (method === 'initialize') return this.#state === 'new' ? undefined : TWICE;
    return this.#state === 'new' ? TOO_EARLY : undefined;
  }
}
