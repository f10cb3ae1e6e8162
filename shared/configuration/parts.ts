import type { EngineConfiguration } from '../../generated/configuration.ts';

/**
 * What something looked at. A check is asked again only when a part of the installation that it looked at has
 * changed; nobody has to write down which parts these are, for each part tells when it is read. What is made
 * once and read by many looks at the same parts for each of them.
 */

/** A set of parts, one bit each. */
export type Parts = number;

export const NOTHING: Parts = 0;
export const EVERYTHING: Parts = -1;

/** The sections of an engine file. */
export const SECTIONS = [
  ...['enginefile', 'title', 'revision', 'based_on', 'controller', 'engine', 'fuel', 'ignition', 'intake'],
  ...['boost', 'sensors', 'inputs', 'outputs', 'map_sets', 'closed_loop', 'protection', 'bus', 'harness'],
  ...['operating_points', 'checks'],
] as const satisfies readonly (keyof EngineConfiguration)[];

export const PARTS = [
  ...SECTIONS,
  // Which map sets there are; what the controller file says; and what is known of the text itself.
  ...(['engines', 'controller file', 'syntax', 'structure', 'binding', 'tables', 'links', 'text'] as const),
] as const;

export type PartName = (typeof PARTS)[number];

const bits = new Map<string | symbol, Parts>(PARTS.map((name, i) => [name, 1 << i]));

export const part = (name: PartName): Parts => bits.get(name)!;

/** A section of an engine file; a key that is none of them belongs to the text. */
export const section = (key: string | symbol): Parts => bits.get(key) ?? part('text');

let seen = NOTHING;

/** Notes that parts are looked at now. */
export function look(parts: Parts): void {
  seen |= parts;
}

export interface Watched<Made> {
  readonly made: Made;
  readonly seen: Parts;
}

/** Makes something and tells what was looked at for it. Who has it made looks at the same. */
export function watch<Made>(make: () => Made): Watched<Made> {
  const before = seen;
  seen = NOTHING;
  try {
    return { made: make(), seen };
  } finally {
    seen |= before;
  }
}

/** A function that is computed once for each key, for as long as the key lives. Every caller looks at what it looked at. */
export function oncePer<Key extends object, Made>(make: (key: Key) => Made): (key: Key) => Made {
  const known = new WeakMap<Key, Watched<Made>>();
  return (key) => {
    let one = known.get(key);
    if (!one) {
      one = watch(() => make(key));
      known.set(key, one);
    }
    look(one.seen);
    return one.made;
  };
}

/** A function of an object and of something beside it, computed once for as long as the object stays beside the same. */
export function oncePerPair<Key extends object, Beside, Made>(
  make: (key: Key, beside: Beside) => Made,
): (key: Key, beside: Beside) => Made {
  const known = new WeakMap<Key, { readonly beside: Beside; readonly made: Made }>();
  return (key, beside) => {
    const last = known.get(key);
    if (last && last.beside === beside) return last.made;
    const made = make(key, beside);
    known.set(key, { beside, made });
    return made;
  };
}

/** The object, telling of each key that is read which parts that is. */
export function telling<Told extends object>(object: Told, partsOf: (key: string | symbol) => Parts): Told {
  return new Proxy(object, {
    get(target, key) {
      seen |= partsOf(key);
      return Reflect.get(target, key);
    },
    has(target, key) {
      seen |= partsOf(key);
      return Reflect.has(target, key);
    },
    ownKeys(target) {
      const keys = Reflect.ownKeys(target);
      for (const key of keys) seen |= partsOf(key);
      // Which keys there are is seen too.
      seen |= part('text');
      return keys;
    },
  });
}
