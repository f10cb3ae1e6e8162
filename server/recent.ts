interface Weighed<Kept> {
  readonly kept: Kept;
  readonly weight: number;
}

/** Keeps things by name, those that were used last, up to a total weight. */
export class Recent<Kept> {
  readonly #kept = new Map<string, Weighed<Kept>>();
  #weight = 0;

  constructor(readonly most: number) {}

  get weight(): number {
    return this.#weight;
  }

  /** What is kept under a name, which is a use of it. */
  get(name: string): Kept | undefined {
    const found = this.#kept.get(name);
    if (!found) return undefined;
    this.#kept.delete(name);
    this.#kept.set(name, found);
    return found.kept;
  }

  /** The same without being a use. */
  peek(name: string): Kept | undefined {
    return this.#kept.get(name)?.kept;
  }

  /** Nothing is let go of for it before `trim`, so what is at work together stays together. */
  set(name: string, kept: Kept, weight: number): void {
    this.delete(name);
    this.#kept.set(name, { kept, weight });
    this.#weight += weight;
  }

  delete(name: string): void {
    this.#weight -= this.#kept.get(name)?.weight ?? 0;
    this.#kept.delete(name);
  }

  /** Lets go of what was used longest ago until the rest is light enough; what was used last stays in any case. */
  trim(): [name: string, kept: Kept][] {
    const gone: [string, Kept][] = [];
    for (const [name, { kept }] of this.#kept) {
      if (this.#weight <= this.most || this.#kept.size === 1) break;
      this.delete(name);
      gone.push([name, kept]);
    }
    return gone;
  }
}
