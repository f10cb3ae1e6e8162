import type { EngineConfiguration, Output } from '../../generated/configuration.ts';
import type { Analysis } from '../../shared/analysis.ts';
import { nodeOf } from '../../shared/configuration/values.ts';
import { cylindersOf } from '../../shared/derived/loads.ts';
import { harnessWires } from '../../shared/derived/wiring.ts';
import { type Use, useAt } from './use.ts';

type Load = NonNullable<Output['drives']>['text'];
type Protection = NonNullable<EngineConfiguration['protection']>[string];
type Action = NonNullable<Protection['action']>['items'][number]['text'];
type Loop = keyof NonNullable<EngineConfiguration['closed_loop']>;

/** The actions of limits and the corrections of loops that act through a load. */
const EFFECTS: Partial<
  Record<Load, { readonly actions: readonly Action[]; readonly loops: readonly Loop[] }>
> = {
  injector: { actions: ['fuel-cut'], loops: ['lambda', 'exhaust_gas_temperature', 'fuel_pressure'] },
  ignition: { actions: ['ignition-cut', 'retard'], loops: ['knock'] },
  'wastegate-servo': { actions: ['reduce-boost'], loops: [] },
  'wastegate-valve': { actions: ['reduce-boost'], loops: [] },
};

/** The uses of an output: limits and loops that act through it, the trim of its cylinder, the wires of its relay. */
export function usesOfOutput(name: string, analysis: Analysis): Use[] {
  const configuration = analysis.installation?.configuration;
  const output = configuration?.outputs?.[name];
  const load = output?.drives?.text;
  if (!configuration || !load) return [];
  return [
    ...limitsThrough(output, load, configuration),
    ...loopsThrough(load, configuration),
    ...(load === 'injector' ? trimsOf(output, configuration) : []),
    ...(load === 'relay' ? wiresBehind(name, configuration) : []),
  ].map(([label, bound]) => useAt(label, nodeOf(bound), analysis));
}

type Labelled = readonly [label: string, bound: object];

function limitsThrough(output: Output, load: Load, { protection }: EngineConfiguration): Labelled[] {
  const actions = EFFECTS[load]?.actions ?? [];
  return Object.entries(protection ?? {}).filter(([, limit]) => {
    const taken = limit.action?.items.map(({ text }) => text) ?? [];
    return load === 'light' ? isShown(limit, output) : taken.some((action) => actions.includes(action));
  });
}

/** Whether a warning light shows the caution or the warning of a limit. */
function isShown({ action, below, above }: Protection, { meaning }: Output): boolean {
  const level = meaning?.text;
  if (level !== 'caution' && level !== 'warning') return false;
  const isLit = action?.items.some(({ text }) => text === 'light') ?? false;
  return isLit && (below?.[level] ?? above?.[level]) !== undefined;
}

function loopsThrough(load: Load, { closed_loop: loops }: EngineConfiguration): Labelled[] {
  return (EFFECTS[load]?.loops ?? []).flatMap((name) => {
    const loop = loops?.[name];
    return loop ? [[name, loop]] : [];
  });
}

function trimsOf(output: Output, { fuel }: EngineConfiguration): Labelled[] {
  return cylindersOf(output).flatMap((cylinder) => {
    const trim = fuel?.cylinder_trim?.[cylinder];
    return trim ? [['cylinder_trim', trim]] : [];
  });
}

/** The wires that a relay switches: those whose circuit has its name. */
function wiresBehind(name: string, configuration: EngineConfiguration): Labelled[] {
  return harnessWires(configuration)
    .filter(({ wire }) => wire.circuit?.text === name)
    .map(({ connector, position, wire }) => [`${connector} ${position}`, wire]);
}
