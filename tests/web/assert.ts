// What the tests use of node:assert/strict, which browsers do not have.

function check(holds: boolean, message: string): asserts holds {
  if (!holds) throw new Error(message);
}

const shown = (value: unknown): string => JSON.stringify(value) ?? String(value);

function isSame(a: unknown, b: unknown): boolean {
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return Object.is(a, b);
  const keys = Object.keys(a);
  return (
    Array.isArray(a) === Array.isArray(b) &&
    keys.length === Object.keys(b).length &&
    keys.every((key) => Object.hasOwn(b, key) && isSame(Reflect.get(a, key), Reflect.get(b, key)))
  );
}

export default {
  ok: (value: unknown, message = `${shown(value)} is not true`) => check(Boolean(value), message),
  equal: (a: unknown, b: unknown) => check(Object.is(a, b), `${shown(a)} is not ${shown(b)}`),
  notEqual: (a: unknown, b: unknown) => check(!Object.is(a, b), `both are ${shown(a)}`),
  deepEqual: (a: unknown, b: unknown) => check(isSame(a, b), `${shown(a)} is not ${shown(b)}`),
  match: (text: string, pattern: RegExp) =>
    check(pattern.test(text), `${shown(text)} does not match ${pattern}`),
};
