import type { Engine } from '../configuration/installation.ts';
import { internList, memo } from '../memo.ts';
import { differInCellsOnly } from './alike.ts';

type SectionName = keyof Engine['configuration'];

/** The sections that determine air and ignition, without fuel. */
const BREATHING = [
  'engine',
  'ignition',
  'intake',
  'boost',
  'sensors',
  'closed_loop',
  'harness',
] as const satisfies readonly SectionName[];

/** The sections that an operating point reads: those, fuel, protection and propeller drive. */
const STATE = [...BREATHING, 'fuel', 'protection', 'gearbox', 'propeller'] as const;

export type StateConfiguration = Pick<Engine['configuration'], (typeof STATE)[number]>;

/**
 * Returns the engine with only some sections, the identical object for identical sections. Other sections cannot be read
 * through it.
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

/** The engine with the sections that determine air and ignition. */
export const airEngine = engineOf(BREATHING);

/** The engine with the sections that an operating point reads. */
export const stateEngine = engineOf(STATE);

/** Caches a function of the sections that determine air and ignition. It receives an engine with only those sections. */
export function memoByBreathing<Made>(make: (engine: Engine) => Made): (engine: Engine) => Made {
  const made = memo((engine: Engine) => make(engine));
  return (engine) => made(airEngine(engine));
}

/** The sections whose tables an operating point reads. */
const READ = ['fuel', 'ignition', 'boost'] as const;

/** Whether two engines differ only in cells of the tables that operating points read. */
export const differInReadCellsOnly = memo((before: Engine, now: Engine): boolean =>
  differInCellsOnly(before, now, READ),
);
