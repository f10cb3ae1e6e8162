/**
 * The one way in which anything is kept between two analyses.
 *
 * `memo` keeps what a function made by all of its inputs, compared by identity. What a pure function made of the same
 * inputs is the same whoever asked for it, and when; so files share it, and nothing needs to be told that it changed.
 * Inputs that are objects are held weakly: what was made of them goes when they go. A result is never changed.
 *
 * A function may be given an object that notes what is read of it (`tracked`) and so have inputs that only show while
 * it runs. Whoever keeps its result by these asks `trackReads` for them; a kept result notes the same reads again.
 *
 * While results are verified, each one that is about to be used again is made anew as well and compared.
 */

type Reads = ReadonlySet<string>;

type Maker = (...inputs: never[]) => unknown;

/** What is read while something is made; undefined as long as nothing was. */
let reads: Set<string> | undefined;

function note(part: string): void {
  reads ??= new Set();
  reads.add(part);
}

/** Runs a function and tells which parts of tracked objects it read. Whoever runs this has read the same. */
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
 * The object, noting under which name each of its keys is read; `undefined` for what is nobody's input, such as an object
 * that is tracked itself. That its keys were listed is a read of `listed`.
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

/** A result that cannot stand for itself: it is undefined, or tracked objects were read for it. */
class Kept {
  constructor(
    readonly result: unknown,
    readonly reads: Reads,
  ) {}
}

/** What is kept by one input, or by several one below the other. */
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

/** How often everything that was kept has been let go. */
let generation = 0;

/** The first branch of what one function keeps. */
class Root {
  #branch = new Branch();
  #generation = generation;

  get branch(): Branch {
    if (this.#generation !== generation) {
      this.#branch = new Branch();
      this.#generation = generation;
    }
    return this.#branch;
  }
}

/**
 * Lets go all that is kept; it is made again where it is asked for. Results of inputs that are gone are gone in any case, but
 * the tables that they stood in keep their size.
 */
export function letKeptGo(): void {
  generation++;
}

const isObject = (value: unknown): value is object =>
  (typeof value === 'object' && value !== null) || typeof value === 'function';

/**
 * A pure function whose results are kept by all of its inputs: for as long as the objects among them live, and nobody may
 * change what it gave. Put first what lives longest. It takes as many inputs as it declares, none of them by default.
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

/** What is kept below a branch by the last input. */
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
 * What a pure function makes of each item of a list and of something that is the same for all of them, each kept by these
 * two: a list mostly is the last one with an item changed.
 */
export function memoEach<Item extends object, Beside, Made>(
  make: (item: Item, beside: Beside) => Made,
): (items: readonly Item[], beside: Beside) => Made[] {
  const root = new Root();
  return (items, beside) => {
    const branch = root.branch.below(beside);
    return items.map((item) => keptIn(branch, item, () => make(item, beside), make));
  };
}

/** All that a pure function makes of the items of a list; of most it makes nothing. */
export function memoAll<Item extends object, Beside, Made>(
  make: (item: Item, beside: Beside) => Iterable<Made>,
): (items: readonly Item[], beside: Beside) => Made[] {
  const each = memoEach((item: Item, beside: Beside) => {
    const made = [...make(item, beside)];
    return made.length > 0 ? made : NONE;
  });
  return (items, beside) => each(items, beside).flat() as Made[];
}

const NONE: readonly never[] = [];

const lists = new Root();
const END = Symbol('end');

/**
 * The one list that holds these items: lists of the same items are the same list. So what follows from a list that was
 * made anew, and came out as it was, still holds. Meant for short lists.
 */
export function oneList<Item>(items: readonly Item[]): readonly Item[] {
  let { branch } = lists;
  for (const item of items) branch = branch.below(item);
  const known = branch.get(END) as readonly Item[] | undefined;
  if (!known) branch.set(END, items);
  return known ?? items;
}

let isVerifying = false;

/** From now on what is kept is made again at each use and compared, or no longer. A difference is thrown. */
export function verifyKept(isOn: boolean): void {
  isVerifying = isOn;
}

/**
 * Where results are verified, throws if what was kept differs from what is made now. What is kept below it is taken as it
 * is meanwhile: it is verified where it is used.
 */
export function verify(kept: unknown, make: () => unknown, name: string): void {
  if (!isVerifying) return;
  isVerifying = false;
  try {
    const { result } = trackReads(make);
    const difference = differenceOf(kept, result);
    if (difference !== undefined) throw new Error(`What was kept of ${name} is stale: ${difference}.`);
  } finally {
    isVerifying = true;
  }
}

/** Where two results first differ, and how; undefined where they say the same. Functions are taken to be alike. */
export function differenceOf(kept: unknown, made: unknown): string | undefined {
  const compared = new WeakMap<object, WeakSet<object>>();
  const waiting: { readonly at: string; readonly a: unknown; readonly b: unknown }[] = [
    { at: 'result', a: kept, b: made },
  ];
  for (let one = waiting.pop(); one; one = waiting.pop()) {
    const { at, a, b } = one;
    if (Object.is(a, b) || (typeof a === 'function' && typeof b === 'function')) continue;
    if (!isObject(a) || !isObject(b) || Object.getPrototypeOf(a) !== Object.getPrototypeOf(b))
      return `${at} was ${textOf(a)} and is ${textOf(b)}`;
    if (isSpan(a) && isSpan(b)) {
      if (a.chunk === b.chunk && a.start === b.start && a.end === b.end) continue;
      return `${at} is another place`;
    }
    const others = compared.get(a) ?? new WeakSet();
    if (others.has(b)) continue;
    compared.set(a, others.add(b));
    const [parts, rest] = [partsOf(a), partsOf(b)];
    if (parts.size !== rest.size) return `${at} has ${parts.size} parts and now ${rest.size}`;
    for (const [key, part] of parts) {
      if (!rest.has(key)) return `${at} no longer has ${String(key)}`;
      waiting.push({ at: `${at}.${String(key)}`, a: part, b: rest.get(key) });
    }
  }
  return undefined;
}

/** A place in a text, whose chunk is the same or another one. */
const isSpan = (value: object): value is { chunk: unknown; start: unknown; end: unknown } => 'chunk' in value;

const textOf = (value: unknown): string => (isObject(value) ? 'an object' : String(value));

function partsOf(object: object): ReadonlyMap<unknown, unknown> {
  if (object instanceof Map || object instanceof Set)
    return new Map(Array.from(object as Iterable<unknown>, (item, i) => [i, item]));
  return new Map(Object.entries(object));
}

/** Most are given to `memo` without a name; then the beginning of what they do tells which it is. */
const nameOf = (maker: Maker): string => maker.name || maker.toString().split('\n', 1)[0]!;
