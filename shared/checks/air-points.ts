import { type Check, engineCheck, type Found } from './check.ts';
import { passes } from './threshold.ts';
import { formatQuantity, formatStated, percent } from './words.ts';

export const pointBeyondSupply: Check = engineCheck({
  id: 'point-beyond-supply',
  severity: 'warning',
  title: 'Operating point above supply voltage',
  page: {
    catches:
      'An operating point with a `battery_voltage` above `harness.supply.maximum` by more than the margin.',
    why: 'The supply never has that voltage. Dead time, dwell and pulse width of the point are computed from it and mean nothing.',
    example:
      'harness: { supply: { nominal: 13.8 V, maximum: 15 V } }\noperating_points:\n  climb: { battery_voltage: 28 V, ... }',
    remedy: 'Correct the voltage of the operating point, or the maximum of the supply.',
    basis: 'The file contradicts itself. The margin is common practice, no source.',
  },
  settings: {
    margin: {
      kind: 'ratio',
      value: '10 %',
      meaning:
        'How far above the maximum supply voltage an operating point may be, for example with a failed regulator.',
    },
  },
  *find({ derivation }, { margin }): Generator<Found> {
    for (const { name, conditions, configuration, node } of derivation.points) {
      const { batteryVoltage: voltage } = conditions;
      const maximum = configuration.harness?.supply?.maximum;
      if (!voltage.node || !maximum || !passes(voltage.canonical, maximum.canonical * (1 + margin))) continue;
      yield {
        at: voltage.node ?? node,
        message: `\`${name}\` is at ${formatStated(voltage.canonical, 'V')}, more than ${percent(margin)} above the maximum supply of ${maximum.node.text}.`,
        related: [{ at: maximum.node, message: 'The maximum of the supply.' }],
      };
    }
  },
});

export const pointBeyondCeiling: Check = engineCheck({
  id: 'point-beyond-ceiling',
  severity: 'warning',
  title: 'Operating point above ceiling',
  page: {
    catches: 'An operating point of an engine without boost at an altitude that no such engine climbs to.',
    why: 'Without boost an engine has a third of its power left at 30000 ft, too little to stay there. The altitude is usually in the wrong unit, and everything computed for the point assumes air that the engine never meets.',
    example: 'operating_points:\n  high_cruise: { pressure_altitude: 10000 m, ... }   # 10000 ft was meant',
    remedy: 'Correct the altitude or its unit.',
    basis: 'Standard atmosphere, ISO 2533. The ceiling is common practice, no source.',
  },
  settings: {
    ceiling: {
      kind: 'length',
      value: '26000 ft',
      meaning: 'Highest altitude of an engine without boost.',
    },
  },
  *find({ derivation }, { ceiling }): Generator<Found> {
    for (const { name, conditions, configuration, node } of derivation.points) {
      const { pressureAltitude: altitude } = conditions;
      if (configuration.boost || !passes(altitude.canonical, ceiling)) continue;
      yield {
        at: altitude.node ?? node,
        message: `\`${name}\` is at ${formatQuantity(altitude.canonical, 'ft', 3)}, but without boost an engine reaches at most ${formatStated(ceiling, 'ft')}.`,
      };
    }
  },
});
