/**
 * What bare objects are made by: they inherit no name, so that a key such as `__proto__` or `constructor` is only a key.
 * V8 keeps one that is made with `Object.create(null)` as a table of hashes, which takes more room and more time.
 */
class Bare {}
Reflect.deleteProperty(Bare.prototype, 'constructor');
Object.setPrototypeOf(Bare.prototype, null);

/** An empty object in which no name stands but those that are put there. */
export const bareObject = (): Record<string, unknown> => new Bare() as Record<string, unknown>;
