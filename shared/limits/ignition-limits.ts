import type { Check } from '../checks/check.ts';
import { advanceOutsideRange } from '../checks/curves-cells.ts';
import { advanceBeyondUsual } from '../checks/dense-charge.ts';
import { coilCurrentExceedsTarget, coilEnergyLow, dwellExceedsInterval } from '../checks/ignition-coil.ts';
import { advanceTooHighForCharge } from '../checks/ignition-detonation.ts';
import { knockWindowOverlapsSpark } from '../checks/ignition-knock.ts';
import { singleFaultBeyondLimit } from '../checks/protection-faults.ts';
import { thresholdsOf } from '../checks/thresholds.ts';
import {
  coilCurrent,
  coilCurrentAtPoint,
  coilEnergyAtMinimumSupply,
  coilEnergyAtPoint,
  dwellShare,
  dwellShareAtMinimumSupply,
  dwellShareAtPoint,
} from '../derived/coil.ts';
import { ignitionAdvance, nextSpark, sparkInterval } from '../derived/ignition.ts';
import { advanceAtMaximumRetard } from '../derived/loops.ts';
import { sensorsOf } from '../derived/sensor-input.ts';
import { addedAdvance } from '../proof/added-advance.ts';
import { type Limit, least, limitAt, most, mostOf, stated, type ValueLimit, writtenThere } from './limit.ts';

/** The advance at which the spark of the next cylinder would fall into the earliest end of a knock window. */
const sparkInWindow = most(
  'end of the knock window',
  ({ configuration }) => {
    const interval = sparkInterval(configuration)?.canonical;
    const ends = sensorsOf(configuration, 'knock').flatMap(([, { window }]) => window?.to ?? []);
    if (interval === undefined || ends.length === 0) return undefined;
    const last = ends.reduce((most, end) => (end.canonical > most.canonical ? end : most));
    return stated(last, interval - last.canonical);
  },
  knockWindowOverlapsSpark,
);

/** A margin beyond a limit that depends on the state. */
const noneBeyond = (check: Check): Limit => most('none', () => ({ value: 0, at: check.id }), check);

const dwellLimit = mostOf('maximum dwell share', dwellExceedsInterval, 'share');

const advanceEnd =
  (end: 'low' | 'high'): Limit['find'] =>
  ({ configuration: { ignition } }) => {
    const range = ignition?.advance_range;
    return range && limitAt(range.node, range[end].canonical);
  };

const targetCurrent = most(
  'target current plus tolerance',
  ({ subject, configuration: { ignition } }) => {
    const target = ignition?.coil?.target_current;
    return stated(
      target,
      target && target.canonical * (1 + thresholdsOf(coilCurrentExceedsTarget, subject).tolerance!),
    );
  },
  coilCurrentExceedsTarget,
);

/** The share of its stated energy that a coil should keep or, if none is stated, the energy that a spark needs. */
const coilSpark = least(
  'minimum energy',
  ({ subject, configuration: { ignition } }) => {
    const { share, minimum } = thresholdsOf(coilEnergyLow, subject);
    const energy = ignition?.coil?.energy;
    return stated(energy, energy && energy.canonical * share!) ?? { value: minimum!, at: coilEnergyLow.id };
  },
  coilEnergyLow,
);

/** The end of the knock window at the value's place. */
const knockWindow = least('end of the knock window', writtenThere, knockWindowOverlapsSpark);

/** The limits of advance, dwell and coil. */
export const IGNITION_LIMITS: readonly ValueLimit[] = [
  [ignitionAdvance, most('end of the advance range', advanceEnd('high'), advanceOutsideRange)],
  [ignitionAdvance, least('start of the advance range', advanceEnd('low'), advanceOutsideRange)],
  [ignitionAdvance, sparkInWindow],
  [advanceAtMaximumRetard, least('start of the advance range', advanceEnd('low'), advanceOutsideRange)],
  [advanceBeyondUsual, noneBeyond(advanceTooHighForCharge)],
  [addedAdvance, mostOf('largest usual advance error', singleFaultBeyondLimit, 'advance')],
  [nextSpark, knockWindow],
  [coilCurrent, targetCurrent],
  [coilCurrentAtPoint, targetCurrent],
  [coilEnergyAtPoint, coilSpark],
  [dwellShareAtPoint, dwellLimit],
  [coilEnergyAtMinimumSupply, coilSpark],
  [dwellShare, dwellLimit],
  [dwellShareAtMinimumSupply, dwellLimit],
];
