/** Publishes a document a turn, each once however often it was named, so that a question never waits for all. */
export class Publisher {
  readonly #waiting = new Set<string>();

  constructor(readonly publish: (uri: string) => void) {}

  add(uris: readonly string[]): void {
    const isIdle = this.#waiting.size === 0;
    for (const uri of uris) this.#waiting.add(uri);
    if (isIdle && this.#waiting.size > 0) setImmediate(() => this.#next());
  }

  #next(): void {
    const [uri] = this.#waiting;
    if (uri === undefined) return;
    this.#waiting.delete(uri);
    this.publish(uri);
    if (this.#waiting.size > 0) setImmediate(() => this.#next());
  }
}
