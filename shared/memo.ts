import { differenceOf, isObject } from './difference-of.ts';

/**
 * The only cache of the program.
 *
 * `memo` caches the results of a pure function by all of its inputs, compared by identity. The same inputs give the same
 * result, whichever file asked first, so files share results and nothing has to be invalidated. Objects among the inputs
 * are held weakly: a result lives no longer than they do. A result never changes.
 *
 * Some inputs only show while a function runs: what it reads of a `tracked` object. `trackReads` reports them to whoever
 * caches by them, and a cache hit reports the same reads again.
 *
 * In verify mode every hit is computed again and compared with the cached result.
 */

type Reads = ReadonlySet<string>;

type Maker = (...inputs: never[]) => unknown;

/** The parts of tracked objects read by the running function; undefined while there are none. */
let reads: Set<string> | undefined;

function note(part: string): void {
  reads ??= new Set();
  reads.add(part);
}

/** Runs a function and reports which parts of tracked objects it read. The caller counts as having read them too. */
export function trackReads<Result>(make: () => Result): {
  readonly result: Result;
  readonly reads: Reads;
} {
  const outer = reads;
  reads = undefined;
  let own: Set<string> | undefined;
  try {
    const result = make();
    own = reads;
    return { result, reads: own ?? NO_READS };
  } finally {
    reads = outer;
    if (own) for (const part of own) note(part);
  }
}

const NO_READS: Reads = new Set();

/**
 * A view of the object that records each read of a key under the name of its part. A key without a part is not recorded:
 * its value never changes, or is tracked itself. Listing the keys counts as a read of `listed`.
 */
export function tracked<Tracked extends object>(
  object: Tracked,
  partOf: (key: string | symbol) => string | undefined,
  listed: string,
): Tracked {
  const noteKey = (key: string | symbol): void => {
    const part = partOf(key);
    if (part !== undefined) note(part);
  };
  return new Proxy(object, {
    get(target, key) {
      noteKey(key);
      return Reflect.get(target, key);
    },
    has(target, key) {
      noteKey(key);
      return Reflect.has(target, key);
    },
    ownKeys(target) {
      const keys = Reflect.ownKeys(target);
      keys.forEach(noteKey);
      note(listed);
      return keys;
    },
  });
}

/** A cached result that needs a wrapper: it is undefined, or it depends on reads of tracked objects. */
class Kept {
  constructor(
    readonly result: unknown,
    readonly reads: Reads,
  ) {}
}

/** One level of a cache: results, or further levels, by one input. */
class Branch {
  #byObject: WeakMap<object, unknown> | undefined;
  #byValue: Map<unknown, unknown> | undefined;

  get(key: unknown): unknown {
    return isObject(key) ? this.#byObject?.get(key) : this.#byValue?.get(key);
  }

  set(key: unknown, value: unknown): void {
    if (isObject(key)) {
      this.#byObject ??= new WeakMap();
      this.#byObject.set(key, value);
    } else {
      this.#byValue ??= new Map();
      this.#byValue.set(key, value);
    }
  }

  below(key: unknown): Branch {
    const known = this.get(key) as Branch | undefined;
    if (known) return known;
    const branch = new Branch();
    this.set(key, branch);
    return branch;
  }
}

/** The caches of all functions. */
const roots: Root[] = [];

/** The cache of one function. */
class Root {
  branch = new Branch();

  constructor() {
    roots.push(this);
  }
}

/**
 * Drops all cached results. Results whose inputs are gone are collected without this, but the tables that held them keep
 * their size.
 */
export function clearCaches(): void {
  for (const root of roots) root.branch = new Branch();
}

/**
 * Caches a pure function by all of its inputs, for as long as the objects among them live. Put the longest-lived input
 * first. Inputs beyond those that `make` declares, or with default values, are not supported.
 */
export function memo<Inputs extends readonly unknown[], Result>(
  make: (...inputs: Inputs) => Result,
): (...inputs: Inputs) => Result {
  const root = new Root();
  const last = make.length - 1;
  return (...inputs) => {
    let { branch } = root;
    for (let i = 0; i < last; i++) branch = branch.below(inputs[i]);
    return keptIn(branch, inputs[last], () => make(...inputs), make);
  };
}

/** The cached result at the last level, computed if it is missing. */
function keptIn<Result>(branch: Branch, key: unknown, make: () => Result, maker: Maker): Result {
  const known = branch.get(key);
  if (known === undefined) {
    const { result, reads: seen } = trackReads(make);
    branch.set(key, result === undefined || seen.size > 0 ? new Kept(result, seen) : result);
    return result;
  }
  const kept = known instanceof Kept ? known : undefined;
  const result = (kept ? kept.result : known) as Result;
  if (isVerifying) verify(result, make, nameOf(maker));
  if (kept) for (const part of kept.reads) note(part);
  return result;
}

/**
 * `items.map(make)`, cached for each item and the argument that all items share. After an edit most items are the same.
 */
export function memoMap<Item extends object, Beside, Made>(
  make: (item: Item, beside: Beside) => Made,
): (items: readonly Item[], beside: Beside) => Made[] {
  const root = new Root();
  return (items, beside) => {
    const branch = root.branch.below(beside);
    return items.map((item) => keptIn(branch, item, () => make(item, beside), make));
  };
}

/** `items.flatMap(make)`, cached like `memoMap`; for most items the result is empty. */
export function memoFlatMap<Item extends object, Beside, Made>(
  make: (item: Item, beside: Beside) => Iterable<Made>,
): (items: readonly Item[], beside: Beside) => Made[] {
  const each = memoMap((item: Item, beside: Beside) => {
    const made = [...make(item, beside)];
    return made.length > 0 ? made : NONE;
  });
  return (items, beside) => each(items, beside).flat() as Made[];
}

const NONE: readonly never[] = [];

const lists = new Root();
const END = Symbol('end');

/**
 * The canonical list of these items: two lists of the same items become the same object, so results cached by the list
 * survive when it is built again with equal contents. For short lists.
 */
export function internList<Item>(items: readonly Item[]): readonly Item[] {
  let { branch } = lists;
  for (const item of items) branch = branch.below(item);
  const known = branch.get(END) as readonly Item[] | undefined;
  if (!known) branch.set(END, items);
  return known ?? items;
}

let isVerifying = false;

/** Turns verify mode on or off. In verify mode a cache hit that differs from a new computation throws. */
export function verifyCaches(isOn: boolean): void {
  isVerifying = isOn;
}

/**
 * In verify mode, throws if a reused result differs from a new computation of it. Hits inside that computation are not
 * verified again; they are verified where they are used directly.
 */
export function verify(kept: unknown, make: () => unknown, name: string): void {
  if (!isVerifying) return;
  isVerifying = false;
  try {
    const { result } = trackReads(make);
    const difference = differenceOf(kept, result);
    if (difference !== undefined) throw new Error(`Stale cache entry of ${name}: ${difference}.`);
  } finally {
    isVerifying = true;
  }
}

/** Most functions passed to `memo` have no name; the start of their source identifies them. */
const nameOf = (maker: Maker): string => maker.name || maker.toString().split('\n', 1)[0]!;
