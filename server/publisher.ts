import { afterMessages } from './turns.ts';

/** Publishes one document per turn of the event loop, without duplicates, so that requests are not delayed by all of them. */
export class Publisher {
  readonly #waiting = new Set<string>();

  constructor(readonly publish: (uri: string) => void) {}

  add(uris: readonly string[]): void {
    const isIdle = this.#waiting.size === 0;
    for (const uri of uris) this.#waiting.add(uri);
    if (isIdle && this.#waiting.size > 0) afterMessages(() => this.#next());
  }

  #next(): void {
    const [uri] = this.#waiting;
    if (uri === undefined) return;
    this.#waiting.delete(uri);
    this.publish(uri);
    if (this.#waiting.size > 0) afterMessages(() => this.#next());
  }
}
