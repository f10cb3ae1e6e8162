import type { EngineConfiguration } from '../../generated/configuration.ts';
import { bareObject } from '../bare-object.ts';
import { memo } from '../memo.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { FOLLOWS } from './follows.ts';
import { nodesOf, rememberNodes } from './values.ts';

/** The quantities that the controller knows without a sensor. */
const OWN: ReadonlySet<string> = new Set([
  'battery_voltage',
  'ignition_advance',
  'injector_pulse_width',
  'injector_duty',
  'fuel_flow',
  'wastegate_position_demand',
]);

type Section<Name extends keyof EngineConfiguration> = NonNullable<EngineConfiguration[Name]>;

/** The sensors that the first controller reads: all but those without a pin that only the standby controller reads. */
export const sensorsOfFirst = memo(
  (sensors: Section<'sensors'>, standby: Section<'standby'> | undefined): Section<'sensors'> => {
    const isOther = (name: string) => standby?.reads?.[name] !== undefined && !sensors[name]!.pin;
    const others = Object.keys(sensors).filter(isOther);
    if (others.length === 0) return sensors;
    const own: Section<'sensors'> = Object.assign(bareObject(), sensors);
    for (const name of others) delete own[name];
    return rememberNodes(own, nodesOf(sensors));
  },
);

/** Returns whether a quantity is known: from a sensor, from the controller itself, or from the feedback of a servo. */
const givenBy = memo(
  (
    sensors: Section<'sensors'> | undefined,
    outputs: Section<'outputs'> | undefined,
    isBoosted: boolean,
  ): ((name: string) => boolean) => {
    const texts = Object.values(sensors ?? {}).flatMap(({ measures }) => measures?.text ?? []);
    const measured = [...new Set(texts)].flatMap((text) => measuredQuantity(text) ?? []);
    const gives = (quantity: string) => measured.some(({ entry }) => entry.name === quantity);
    const isGiven = (name: string): boolean => {
      const wanted = measuredQuantity(name);
      if (!wanted) return true;
      const { entry, index } = wanted;
      if (OWN.has(entry.name)) return true;
      if (index !== undefined) return measured.some((one) => one.entry === entry && one.index === index);
      if (gives(entry.name) || FOLLOWS[entry.name]?.some(gives)) return true;
      // Without a compressor the charge is the intake air.
      if (entry.name === 'charge_temperature' && !isBoosted) return gives('intake_air_temperature');
      return (
        entry.name === 'wastegate_position' &&
        Object.values(outputs ?? {}).some((output) => output.feedback_pin !== undefined)
      );
    };
    const known = new Map<string, boolean>();
    return (name) => {
      const given = known.get(name) ?? isGiven(name);
      known.set(name, given);
      return given;
    };
  },
);

/**
 * Returns whether a quantity is known in an engine; the same function for engines in which the same quantities are known.
 */
export const knownQuantities = ({
  sensors,
  outputs,
  boost,
  standby,
}: Pick<EngineConfiguration, 'sensors' | 'outputs' | 'boost' | 'standby'>) =>
  givenBy(sensors && sensorsOfFirst(sensors, standby), outputs, boost !== undefined);
