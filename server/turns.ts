/** Calls back after the messages that have already arrived have been handled. Node has a function for it, browsers do not. */
export const afterMessages: (work: () => void) => void =
  (globalThis as { setImmediate?: (work: () => void) => void }).setImmediate ?? byMessage();

/** A timer would do too, but browsers delay repeated ones by 4 ms. */
function byMessage(): (work: () => void) => void {
  const { port1, port2 } = new MessageChannel();
  const waiting: (() => void)[] = [];
  port1.addEventListener('message', () => waiting.shift()?.());
  port1.start();
  return (work) => {
    waiting.push(work);
    port2.postMessage(undefined);
  };
}

/** Resolves after the messages that have already arrived have been handled. */
export const nextTurn = (): Promise<void> => new Promise(afterMessages);

/** Lets the program end while a timer runs. The timers of browsers are numbers and keep nothing alive. */
export function unhold(timer: unknown): void {
  (timer as { unref?(): void }).unref?.();
}

/** How long (ms) a computation may delay a request. */
const SLICE = 10;

/** Runs a computation in slices; messages are handled in between. Undefined if it is no longer wanted. */
export async function inSlices<Result>(
  steps: Generator<undefined, Result>,
  isWanted: () => boolean,
): Promise<Result | undefined> {
  while (isWanted()) {
    const end = performance.now() + SLICE;
    do {
      const step = steps.next();
      if (step.done) return step.value;
    } while (performance.now() < end);
    await nextTurn();
  }
  return undefined;
}
