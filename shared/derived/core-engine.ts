import type { Engine } from '../configuration/installation.ts';

/** The sections that say how an engine breathes, burns and fires, and what its sensors and loops make of that. */
const CORE = [
  'engine',
  'fuel',
  'ignition',
  'intake',
  'boost',
  'sensors',
  'closed_loop',
  'harness',
] as const satisfies readonly (keyof Engine['configuration'])[];

/** What an operating point can be asked for: beside the core, what watches it. */
const STATE = [...CORE, 'protection'] as const;

export type StateConfiguration = Pick<Engine['configuration'], (typeof STATE)[number]>;

/** Engines of some sections alone, the one last made for each map set, by the fuel section that it has. */
type Made = WeakMap<object, Map<string | undefined, Engine>>;

/**
 * The engine with nothing but some sections. As long as none of them changes it is the very same object, so what was
 * derived over whole maps holds from keystroke to keystroke. What stands in other sections cannot be read through it.
 */
function only(
  names: readonly (keyof Engine['configuration'])[],
  made: Made,
  { mapSet, configuration }: Engine,
): Engine | undefined {
  const { fuel } = configuration;
  if (!fuel) return undefined;
  const bySet = made.get(fuel) ?? new Map<string | undefined, Engine>();
  made.set(fuel, bySet);
  const last = bySet.get(mapSet);
  if (last && names.every((name) => last.configuration[name] === configuration[name])) return last;
  const sections = names.map((name) => [name, configuration[name]] as const);
  const kept = Object.fromEntries(sections.filter(([, section]) => section !== undefined));
  const engine: Engine = { mapSet, configuration: kept };
  bySet.set(mapSet, engine);
  return engine;
}

const cores: Made = new WeakMap();
const states: Made = new WeakMap();

/** The engine with what an operating point can be asked for. */
export function stateEngine(engine: Engine): Engine {
  return only(STATE, states, engine) ?? engine;
}

/** A function of an engine's core that is computed once for as long as that core stays what it is. */
export function perEngine<Made>(make: (core: Engine) => Made): (engine: Engine) => Made {
  const made = new WeakMap<Engine, { readonly value: Made }>();
  return (engine) => {
    const core = only(CORE, cores, engine) ?? engine;
    let known = made.get(core);
    if (!known) {
      known = { value: make(core) };
      made.set(core, known);
    }
    return known.value;
  };
}
