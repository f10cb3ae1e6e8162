interface Weighed<Kept> {
  readonly kept: Kept;
  readonly weight: number;
}

/** A cache by name with a limited total weight; the least recently used entries are evicted first. */
export class LruCache<Kept> {
  readonly #kept = new Map<string, Weighed<Kept>>();
  #weight = 0;

  constructor(readonly most: number) {}

  get weight(): number {
    return this.#weight;
  }

  /** The entry of a name; counts as a use. */
  get(name: string): Kept | undefined {
    const found = this.#kept.get(name);
    if (!found) return undefined;
    this.#kept.delete(name);
    this.#kept.set(name, found);
    return found.kept;
  }

  /** The entry of a name, without counting as a use. */
  peek(name: string): Kept | undefined {
    return this.#kept.get(name)?.kept;
  }

  /** Does not evict: call `evict` when no code is using several entries. */
  set(name: string, kept: Kept, weight: number): void {
    this.delete(name);
    this.#kept.set(name, { kept, weight });
    this.#weight += weight;
  }

  delete(name: string): void {
    this.#weight -= this.#kept.get(name)?.weight ?? 0;
    this.#kept.delete(name);
  }

  /** Evicts entries until the rest is light enough, and returns them. The last one used always stays. */
  evict(): [name: string, kept: Kept][] {
    const evicted: [string, Kept][] = [];
    for (const [name, { kept }] of this.#kept) {
      if (this.#weight <= this.most || this.#kept.size === 1) break;
      this.delete(name);
      evicted.push([name, kept]);
    }
    return evicted;
  }
}
