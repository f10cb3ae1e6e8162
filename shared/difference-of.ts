export const isObject = (value: unknown): value is object =>
  (typeof value === 'object' && value !== null) || typeof value === 'function';

/** The first difference between two results; undefined if they are equal. Functions always count as equal. */
export function differenceOf(kept: unknown, made: unknown): string | undefined {
  const compared = new WeakMap<object, WeakSet<object>>();
  const waiting: { readonly at: string; readonly a: unknown; readonly b: unknown }[] = [
    { at: 'result', a: kept, b: made },
  ];
  for (let one = waiting.pop(); one; one = waiting.pop()) {
    const { at, a, b } = one;
    if (Object.is(a, b) || (typeof a === 'function' && typeof b === 'function')) continue;
    if (!isObject(a) || !isObject(b) || Object.getPrototypeOf(a) !== Object.getPrototypeOf(b))
      return `${at} was ${textOf(a)} and is now ${textOf(b)}`;
    if (isSpan(a) && isSpan(b)) {
      if (a.chunk === b.chunk && a.start === b.start && a.end === b.end) continue;
      return `${at} is now a different span`;
    }
    const others = compared.get(a) ?? new WeakSet();
    if (others.has(b)) continue;
    compared.set(a, others.add(b));
    const [parts, rest] = [partsOf(a), partsOf(b)];
    if (parts.size !== rest.size) return `${at} had ${parts.size} parts and now has ${rest.size}`;
    for (const [key, part] of parts) {
      if (!rest.has(key)) return `${at} no longer has ${String(key)}`;
      waiting.push({ at: `${at}.${String(key)}`, a: part, b: rest.get(key) });
    }
  }
  return undefined;
}

/** A place in a text. */
const isSpan = (value: object): value is { chunk: unknown; start: unknown; end: unknown } => 'chunk' in value;

const textOf = (value: unknown): string => (isObject(value) ? 'an object' : String(value));

function partsOf(object: object): ReadonlyMap<unknown, unknown> {
  if (object instanceof Map || object instanceof Set)
    return new Map(Array.from(object as Iterable<unknown>, (item, i) => [i, item]));
  return new Map(Object.entries(object));
}
