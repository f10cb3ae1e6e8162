import type { Engine } from '../configuration/installation.ts';
import { internList, memo } from '../memo.ts';
import { differInCellsOnly } from './alike.ts';

type SectionName = keyof Engine['configuration'];

/** The sections that say how an engine breathes and fires: all that its fuel has no part in. */
const BREATHING = [
  'engine',
  'ignition',
  'intake',
  'boost',
  'sensors',
  'closed_loop',
  'harness',
] as const satisfies readonly SectionName[];

/** With the fuel: how an engine burns, and what its sensors and loops make of that. */
const BURNING = [...BREATHING, 'fuel'] as const;

/** What an operating point can be asked for: beside that, what watches it. */
const STATE = [...BURNING, 'protection'] as const;

export type StateConfiguration = Pick<Engine['configuration'], (typeof STATE)[number]>;

/**
 * Gives the engine with nothing but some sections: the very same object for the same sections. What stands in others cannot
 * be read through it.
 */
function engineOf(names: readonly SectionName[]): (engine: Engine) => Engine {
  const made = memo((sections: readonly unknown[], mapSet: string | undefined): Engine => {
    const written = names
      .map((name, i) => [name, sections[i]])
      .filter(([, section]) => section !== undefined);
    return { mapSet, configuration: Object.fromEntries(written) };
  });
  return ({ mapSet, configuration }) => made(internList(names.map((name) => configuration[name])), mapSet);
}

/** The engine with what says how it breathes and fires. */
export const breathingEngine = engineOf(BREATHING);

/** The engine with what says how it burns. */
export const burningEngine = engineOf(BURNING);

/** The engine with what an operating point can be asked for. */
export const stateEngine = engineOf(STATE);

/** A function of how an engine breathes, kept for as long as that stays. It is given an engine that has no other sections. */
export function ofBreathing<Made>(make: (engine: Engine) => Made): (engine: Engine) => Made {
  const made = memo((engine: Engine) => make(engine));
  return (engine) => made(breathingEngine(engine));
}

/** Where an operating point reads numbers from tables; what it is held against in other sections, it does not read. */
const READ = ['fuel', 'ignition', 'boost'] as const;

/** Whether two engines, as points see them, differ in nothing but cells of the tables that points read. */
export const differInReadCellsOnly = memo((before: Engine, now: Engine): boolean =>
  differInCellsOnly(before, now, READ),
);
