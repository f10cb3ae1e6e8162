import type { OutsideValue } from '../outside-value.ts';
import { atmosphereValues } from './atmosphere.ts';
import { chargeAirValues } from './charge-air.ts';
import { electricalValues } from './electrical.ts';
import { engineValues } from './engine.ts';
import { fuelValues } from './fuels.ts';
import { ignitionValues } from './ignition.ts';
import { injectorValues } from './injector.ts';
import { knockValues } from './knock.ts';
import { loadValues } from './loads.ts';
import { loopValues } from './loops.ts';
import { marginValues } from './margins.ts';
import { measuredValues } from './measured.ts';
import { propellerValues } from './propeller.ts';
import { servoValues } from './servo.ts';
import { trimValues } from './trim.ts';

/** Every outside value, by subject. */
export const outsideValues: Readonly<Record<string, readonly OutsideValue[]>> = {
  atmosphere: atmosphereValues,
  'charge air': chargeAirValues,
  electrical: electricalValues,
  engine: engineValues,
  fuels: fuelValues,
  ignition: ignitionValues,
  injector: injectorValues,
  knock: knockValues,
  loads: loadValues,
  loops: loopValues,
  margins: marginValues,
  'measured runs': measuredValues,
  propeller: propellerValues,
  servo: servoValues,
  trim: trimValues,
};
