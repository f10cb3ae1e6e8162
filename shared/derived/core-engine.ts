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

/** The core last made for a map set, by the fuel section that it has. */
const cores = new WeakMap<object, Map<string | undefined, Engine>>();

/**
 * The engine with nothing but its core sections. As long as none of them changes it is the very same object, so what was
 * derived over whole maps holds from keystroke to keystroke. What stands in other sections cannot be read through it.
 */
function coreOf(engine: Engine): Engine {
  const { fuel } = engine.configuration;
  if (!fuel) return engine;
  const bySet = cores.get(fuel) ?? new Map<string | undefined, Engine>();
  cores.set(fuel, bySet);
  const last = bySet.get(engine.mapSet);
  if (last && CORE.every((name) => last.configuration[name] === engine.configuration[name])) return last;
  const sections = CORE.map((name) => [name, engine.configuration[name]] as const);
  const configuration = Object.fromEntries(sections.filter(([, section]) => section !== undefined));
  const core: Engine = { mapSet: engine.mapSet, configuration };
  bySet.set(engine.mapSet, core);
  return core;
}

/** A function of an engine's core that is computed once for as long as that core stays what it is. */
export function perEngine<Made>(make: (core: Engine) => Made): (engine: Engine) => Made {
  const made = new WeakMap<Engine, { readonly value: Made }>();
  return (engine) => {
    const core = coreOf(engine);
    let known = made.get(core);
    if (!known) {
      known = { value: make(core) };
      made.set(core, known);
    }
    return known.value;
  };
}
