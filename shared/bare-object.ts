/**
 * The prototype of bare objects. It has no properties, so keys such as `__proto__` and `constructor` are ordinary keys.
 * V8 stores an object made with `Object.create(null)` as a hash table, which takes more memory and time.
 */
class Bare {}
Reflect.deleteProperty(Bare.prototype, 'constructor');
Object.setPrototypeOf(Bare.prototype, null);

/** An empty object without inherited properties. */
export const bareObject = (): Record<string, unknown> => new Bare() as Record<string, unknown>;
