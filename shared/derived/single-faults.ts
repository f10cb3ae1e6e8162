import type { Output } from '../../generated/configuration.ts';
import type { Installation } from '../configuration/installation.ts';
import { memo } from '../memo.ts';
import { faultsOf, sensorFaults } from './faults.ts';
import { harnessFaults } from './harness-faults.ts';
import { lossOf, lossOfAll, lossOfDrive, type SingleFault } from './loss.ts';

/** Every single fault of an installation, in the order of the file: sensors, inputs, outputs, harness, bus, controllers. */
export const singleFaults = memo((installation: Installation): readonly SingleFault[] => {
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
    ...(configuration.standby
      ? [{ of: 'standby', fault: 'lost' as const, loss: lossOf({ standby: true }) }]
      : []),
  ];
});

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
  const of = `outputs.${name}`;
  return (['open', 'shorted_to_ground', 'shorted_to_supply'] as const).map((fault) => ({
    of,
    fault,
    loss: lossOfDrive(name, output, fault, installation),
  }));
}
