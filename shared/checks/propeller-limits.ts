import type { StateConfiguration } from '../derived/core-engine.ts';
import { gearboxTorqueWarm, propellerSpeed, propellerTipMach } from '../derived/propeller.ts';
import { excessFinding, excessOf } from './beyond.ts';
import { boundCheck, type Check } from './check.ts';
import { formatQuantity, formatStated, numberBeside, statedBeside } from './words.ts';

const propellerLimit = ({ propeller }: StateConfiguration) => propeller?.maximum_speed?.canonical;
const torqueLimit = ({ gearbox }: StateConfiguration) => gearbox?.maximum_torque?.canonical;

export const propellerSpeedHigh: Check = boundCheck({
  id: 'propeller-speed-high',
  severity: 'error',
  title: 'Propeller speed over its limit',
  page: {
    catches:
      'An operating point, or any other state in the envelope, with a propeller speed above `propeller.maximum_speed`.',
    why: 'The centrifugal load of blades and hub grows with the square of speed. A propeller that turns faster than its maker permits can lose a blade.',
    example:
      'engine: { maximum_speed: 5800 rpm, ... }\ngearbox: { ratio: 2.35 }\npropeller: { diameter: 1.72 m, maximum_speed: 2400 rpm }   # 2468 rpm at maximum speed',
    remedy:
      'Lower `engine.maximum_speed`, fit a gearbox with a larger ratio, or fit a propeller permitted for this speed.',
    basis: 'The limit that the file itself states.',
  },
  *find(subject, proof) {
    const speed = yield* excessOf(subject, proof, {
      ...{ value: propellerSpeed, side: 'high', limitOf: propellerLimit },
    });
    yield* excessFinding(subject, speed, ({ propeller }, { reached, where }) => {
      const limit = propeller?.maximum_speed;
      return (
        limit && {
          ...{ at: limit.node, name: 'highest_propeller_speed' },
          message: `Propeller speed reaches ${formatQuantity(reached, 'rpm', 4)} ${where}, above its maximum of ${limit.node.text}`,
        }
      );
    });
  },
});

export const gearboxTorqueHigh: Check = boundCheck({
  id: 'gearbox-torque-high',
  severity: 'error',
  title: 'Gearbox torque over its limit',
  page: {
    catches:
      'An operating point, or any other state in the envelope, with an estimated torque at the propeller shaft above `gearbox.maximum_torque`. The engine counts as warm, because the extra fuel of a cold one makes no power. It is information if the search neither proves the limit nor finds a state beyond it.',
    why: 'Gear teeth and clutches are sized for a torque. Boost at low speed gives the highest torque, not the highest power, so the limit can be exceeded well below rated power.',
    example:
      'gearbox: { ratio: 2.35, maximum_torque: 380 Nm }   # 108 kW at 5400 rpm are 449 Nm at the propeller',
    remedy: 'Lower the boost target at the speed of the finding, or fit a gearbox permitted for the torque.',
    basis:
      'Torque is power over angular speed (Heywood, eq. 2.13); the power is estimated from the fuel. The limit is the one that the file itself states.',
  },
  *find(subject, proof) {
    const torque = yield* excessOf(subject, proof, {
      ...{ value: gearboxTorqueWarm, side: 'high', limitOf: torqueLimit },
    });
    yield* excessFinding(subject, torque, ({ gearbox }, { reached, where }) => {
      const limit = gearbox?.maximum_torque;
      return (
        limit && {
          ...{ at: limit.node, label: 'gearbox torque', name: 'highest_gearbox_torque', verb: 'gives' },
          message: `The gearbox transmits ${formatQuantity(reached, 'Nm', 3)} to the propeller ${where}, above its maximum of ${statedBeside(limit, 'Nm')}`,
        }
      );
    });
  },
});

export const propellerTipMachHigh: Check = boundCheck({
  id: 'propeller-tip-mach-high',
  severity: 'warning',
  title: 'Propeller tips too fast',
  page: {
    catches:
      'An operating point, or any other state in the envelope, with propeller tips above the limit Mach number. The `true_airspeed` of an operating point is included; in the rest of the envelope the aircraft stands still.',
    why: 'Near the speed of sound, shock waves at the blade tips cost thrust and make the propeller very loud. Cold air makes it worse because sound is slower in it.',
    example:
      'gearbox: { ratio: 1.9 }\npropeller: { diameter: 1.9 m }   # Mach 0.89 at 5800 rpm on a standard day',
    remedy: 'Fit a smaller propeller or a gearbox with a larger ratio, or lower the maximum speed.',
    basis:
      'Helical tip Mach number as in 14 CFR part 36, appendix G. The limit is common practice, no source.',
  },
  settings: {
    limit: { kind: 'number', value: '0.85', meaning: 'Highest usual Mach number of the blade tips.' },
  },
  *find(subject, proof, { limit }) {
    const mach = yield* excessOf(subject, proof, {
      ...{ value: propellerTipMach, side: 'high', limitOf: () => limit },
    });
    yield* excessFinding(subject, mach, ({ propeller }, { reached, where }) => {
      const diameter = propeller?.diameter;
      return (
        diameter && {
          ...{ at: diameter.node, label: 'tip Mach number', name: 'fastest_propeller_tips', verb: 'gives' },
          message: `The propeller tips reach Mach ${numberBeside(reached, limit)} ${where}, above the usual limit of ${formatStated(limit, '')}`,
        }
      );
    });
  },
});
