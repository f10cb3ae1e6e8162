import type { EngineConfiguration, Output } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { maximumOf } from '../extremes.ts';
import { groupedBy } from '../grouped-by.ts';
import { memo } from '../memo.ts';
import { lookedUp } from '../physics/formula.ts';
import * as physics from '../physics/loads.ts';
import { coilCurrent } from './coil.ts';
import type { Derivation, FileValue } from './derivation.ts';
import { injectorsPerCylinder } from './fuel.ts';
import { nominalVoltage } from './operating-point.ts';
import { apply, derivedValue, type MaybeOperand, type Operand, type Result } from './value.ts';

type Load = NonNullable<Output['drives']>['text'];

export interface NamedOutput {
  readonly name: string;
  readonly output: Output;
}

/** The outputs that drive one kind of load, in the order of the file. */
export function outputsThatDrive(configuration: EngineConfiguration, load: Load): readonly NamedOutput[] {
  return outputsByLoad(configuration).get(load) ?? [];
}

const outputsByLoad = memo(({ outputs }: EngineConfiguration) =>
  groupedBy(
    Object.entries(outputs ?? {}).map(([name, output]) => ({ name, output })),
    ({ output }) => output.drives?.text,
  ),
);

/** Whether an output is the relay of the fuel pump: the schema says how it is named. */
export const isFuelPump = (configuration: EngineConfiguration, name: string): boolean =>
  name.includes('fuel_pump') && outputsThatDrive(configuration, 'relay').some((relay) => relay.name === name);

/** The cylinders that an output names, one or several. */
export function cylindersOf({ cylinder, cylinders }: Output): number[] {
  return [...(cylinder ? [cylinder] : []), ...(cylinders?.items ?? [])].map(({ canonical }) => canonical);
}

/** Whether an action of the controller moves the wastegate: a limit reduces boost, or map sets have targets of their own. */
const isBoostMoved = (engines: readonly EngineConfiguration[]): boolean =>
  new Set(engines.map(({ boost }) => boost?.target)).size > 1 ||
  engines.some(({ protection }) =>
    Object.values(protection ?? {}).some(({ action }) =>
      action?.items.some(({ text }) => text === 'reduce-boost'),
    ),
  );

/**
 * The kind of output that must move the wastegate of some engines, if none of them has one. A spring holds a gauge pressure by
 * itself, so a pneumatic wastegate may need no valve.
 */
export function undrivenWastegate(
  engines: readonly EngineConfiguration[],
): 'wastegate-servo' | 'wastegate-valve' | undefined {
  const [{ boost } = {} as EngineConfiguration] = engines;
  if (!boost?.control) return undefined;
  const isServo = boost.control.text === 'servo-wastegate';
  if (!isServo && boost.target?.reference === 'gauge' && !isBoostMoved(engines)) return undefined;
  const load = isServo ? 'wastegate-servo' : 'wastegate-valve';
  return engines.some((one) => outputsThatDrive(one, load).length > 0) ? undefined : load;
}

const coilCurrentFormula = lookedUp(
  'highest-coil-current',
  'I',
  'coil current, highest of the breakpoints of the dwell curve',
  'A',
);

const stated = lookedUp('stated-current', 'I', 'stated load current', 'A');

/** How many injector outputs open each cylinder. */
const driversByCylinder = memo((configuration: EngineConfiguration) => {
  const drivers = outputsThatDrive(configuration, 'injector');
  return groupedBy(
    drivers.flatMap(({ output }) => [...new Set(cylindersOf(output))]),
    (cylinder) => cylinder,
  );
});

/** Injectors on one output: those of its cylinders, shared equally with other outputs of the same cylinder. */
function injectorsOn(output: Output, configuration: EngineConfiguration): Operand {
  const drivers = driversByCylinder(configuration);
  const perCylinder = injectorsPerCylinder(configuration).canonical;
  const count = cylindersOf(output).reduce((sum, cylinder) => {
    const sharing = drivers.get(cylinder)!.length;
    return sum + Math.max(1, perCylinder / sharing);
  }, 0);
  return { canonical: Math.max(1, count), how: 'injectors on this output' };
}

/** The load resistance on an output; undefined if it is not stated. */
function loadOf(output: Output, configuration: EngineConfiguration): Result | undefined {
  const one: Operand = { canonical: 1, how: 'one load' };
  switch (output.drives?.text) {
    case 'injector':
      return apply(physics.driverLoad, {
        resistance: output.resistance ?? configuration.fuel?.injectors?.resistance,
        count: injectorsOn(output, configuration),
      });
    case 'ignition':
      return apply(physics.driverLoad, {
        resistance: output.resistance ?? configuration.ignition?.coil?.primary_resistance,
        count: one,
      });
    default:
      return apply(physics.driverLoad, { resistance: output.resistance, count: one });
  }
}

/** The highest coil current at the breakpoints of the dwell curve. */
function highestCoilCurrent(derivation: Derivation): MaybeOperand {
  const values = derivation.get(coilCurrent);
  const most = maximumOf(values.map(({ canonical }) => canonical));
  const derived = values.find(({ canonical }) => canonical === most);
  return derived && { canonical: most, derived, how: 'highest along the dwell curve' };
}

/** The maximum supply voltage of the harness, at which a driver carries most current. */
function highestVoltage(configuration: EngineConfiguration): Operand {
  return configuration.harness?.supply?.maximum ?? nominalVoltage(configuration);
}

function currentOf(output: Output, derivation: Derivation): Result | undefined {
  const { configuration } = derivation.installation;
  if (output.current) return apply(stated, { found: output.current });
  // Dwell and inductance limit the current of a coil, not its resistance alone.
  if (output.drives?.text === 'ignition')
    return apply(coilCurrentFormula, { found: highestCoilCurrent(derivation) });
  return apply(physics.loadCurrent, {
    voltage: highestVoltage(configuration),
    resistance: loadOf(output, configuration),
  });
}

/** A value of every output, shown after the output. */
function perOutput(
  id: string,
  label: string,
  compute: (output: Output, derivation: Derivation) => Result | undefined,
): FileValue {
  return {
    id,
    label,
    derive: (derivation) =>
      Object.values(derivation.installation.configuration.outputs ?? {}).flatMap((output) => {
        const result = compute(output, derivation);
        return result ? [derivedValue({ id, label }, result, nodeOf(output))] : [];
      }),
  };
}

export const driverLoad = perOutput(
  'driver_load',
  'Load resistance on the driver',
  (output, { installation }) => loadOf(output, installation.configuration),
);

export const driverCurrent = perOutput('driver_current', 'Driver current', currentOf);
