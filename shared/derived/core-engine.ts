import type { Engine } from '../configuration/installation.ts';
import { oncePer } from '../configuration/parts.ts';
import { differInCellsOnly } from './alike.ts';

/** The sections that say how an engine breathes and fires: all that its fuel has no part in. */
export const BREATHING = [
  'engine',
  'ignition',
  'intake',
  'boost',
  'sensors',
  'closed_loop',
  'harness',
] as const satisfies readonly (keyof Engine['configuration'])[];

/** With the fuel: how an engine burns, and what its sensors and loops make of that. */
export const CORE = [...BREATHING, 'fuel'] as const;

/** What an operating point can be asked for: beside the core, what watches it. */
const STATE = [...CORE, 'protection'] as const;

export type StateConfiguration = Pick<Engine['configuration'], (typeof STATE)[number]>;

/** Engines of some sections alone, the one last made for each map set, by the first section that it has. */
type Made = WeakMap<object, Map<string | undefined, Engine>>;

/**
 * The engine with nothing but some sections. As long as none of them changes it is the very same object, so what was
 * derived over whole maps holds from keystroke to keystroke. What stands in other sections cannot be read through it.
 */
function only(
  names: readonly (keyof Engine['configuration'])[],
  made: Made,
  { mapSet, configuration }: Engine,
): Engine {
  const sections = names
    .map((name) => [name, configuration[name]] as const)
    .filter(([, section]) => section !== undefined);
  const first = sections[0]?.[1];
  if (!first) return { mapSet, configuration: {} };
  const bySet = made.get(first) ?? new Map<string | undefined, Engine>();
  made.set(first, bySet);
  const last = bySet.get(mapSet);
  if (last && names.every((name) => last.configuration[name] === configuration[name])) return last;
  const engine: Engine = { mapSet, configuration: Object.fromEntries(sections) };
  bySet.set(mapSet, engine);
  return engine;
}

const cores: Made = new WeakMap();
const breathing: Made = new WeakMap();
const states: Made = new WeakMap();

/** Where an operating point reads numbers from tables; what it is held against in other sections, it does not read. */
const READ = ['fuel', 'ignition', 'boost'] as const;

/** The engine that was last compared with another, and whether that may go on as it. */
const compared = new WeakMap<Engine, { readonly next: Engine; readonly goesOn: boolean }>();

/** Whether an engine with what a point can be asked for is another one but for cells of the tables that points read. */
export function goesOnAs(engine: Engine, next: Engine): boolean {
  let last = compared.get(engine);
  if (last?.next !== next) {
    last = { next, goesOn: differInCellsOnly(engine, next, READ) };
    compared.set(engine, last);
  }
  return last.goesOn;
}

/** The engine with what an operating point can be asked for. */
export function stateEngine(engine: Engine): Engine {
  return only(STATE, states, engine);
}

/**
 * A function of some sections of an engine that is computed once for as long as these stay what they are. It is given
 * an engine that has no other sections.
 */
export function perEngine<Made>(
  make: (engine: Engine) => Made,
  sections: typeof CORE | typeof BREATHING = CORE,
): (engine: Engine) => Made {
  const ofSections = oncePer(make);
  const made = sections === CORE ? cores : breathing;
  return (engine) => ofSections(only(sections, made, engine));
}
