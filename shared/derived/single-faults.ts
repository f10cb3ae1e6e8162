import type { Output, Pin } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { faultsOf, sensorFaults } from './faults.ts';
import { harnessFaults } from './harness-faults.ts';
import { lossOf, lossOfAll, type SingleFault } from './loss.ts';

/** Every single fault of an installation, in the order of the file: sensors, inputs, outputs, harness, bus, controller. */
export function singleFaults(installation: Installation): readonly SingleFault[] {
  const { configuration } = installation;
  const all = lossOfAll(configuration);
  return [
    ...faultsOfSensors(installation),
    ...faultsOfInputs(installation),
    ...Object.entries(configuration.outputs ?? {}).flatMap(([name, output]) =>
      faultsOfOutput(name, output, installation),
    ),
    ...harnessFaults(installation),
    ...(configuration.bus ? [{ of: 'bus', fault: 'lost' as const, loss: lossOf({ bus: true }) }] : []),
    { of: 'controller', fault: 'lost', loss: all },
  ];
}

function faultsOfSensors(installation: Installation): SingleFault[] {
  const modelled = new Set(sensorFaults(installation).map(({ name }) => name));
  return Object.keys(installation.configuration.sensors ?? {}).flatMap((name): SingleFault[] => {
    const fault = { of: `sensors.${name}`, loss: lossOf({ sensors: [name] }) };
    return modelled.has(name)
      ? faultsOf(name, installation).map((way) => ({ ...fault, fault: way.case, way }))
      : [{ ...fault, fault: 'lost' }];
  });
}

/** A switch connects its input to ground (common practice, no source), so a broken wire reads as open. */
function faultsOfInputs({ configuration: { inputs } }: Installation): SingleFault[] {
  return Object.keys(inputs ?? {}).flatMap((name) =>
    (['open', 'shorted_to_ground'] as const).map((fault) => ({
      of: `inputs.${name}`,
      fault,
      loss: lossOf({ inputs: [name] }),
    })),
  );
}

function faultsOfOutput(name: string, output: Output, installation: Installation): SingleFault[] {
  const held = canStayOn(output) ? lossOf({ held: [name] }) : lossOf({ outputs: [name] });
  const off = lossOf({ outputs: [name] });
  const isHighSide = pinOfOutput(output, installation)?.side?.text === 'high';
  const of = `outputs.${name}`;
  return [
    { of, fault: 'open', loss: off },
    { of, fault: 'shorted_to_ground', loss: isHighSide ? off : held },
    { of, fault: 'shorted_to_supply', loss: isHighSide ? held : off },
  ];
}

/**
 * Whether a shorted wire keeps the load doing what it does. A coil that is charged all the time gives no spark, and a servo or
 * valve does not move.
 */
function canStayOn({ drives }: Output): boolean {
  return drives?.text === 'injector' || drives?.text === 'light' || drives?.text === 'relay';
}

/** Without a controller file a driver is taken to switch the ground side (common practice, no source). */
const pinOfOutput = ({ pin }: Output, { controller }: Installation): Pin | undefined =>
  pin && controller?.pins?.[pin.text];
