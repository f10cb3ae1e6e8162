import { lookUp } from '../configuration/lookup.ts';
import { crankingFuel } from '../derived/cranking.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { voltageFactor } from './supply-voltage.ts';
import { passes } from './threshold.ts';
import { formatQuantity, formatStated, percent, rounded } from './words.ts';

export const crankingFuelUnusual: Check = engineCheck({
  id: 'cranking-fuel-unusual',
  severity: 'warning',
  title: 'Cranking fuel implausible',
  page: {
    catches:
      'A cranking pulse whose fuel is far less or far more than a cylinder needs to start, as a multiple of the stoichiometric fuel for a cylinder filled at ambient pressure.',
    why: 'A cold engine needs several times the fuel that burns, because most of it stays liquid. A pulse that is ten times too short may be shorter than the dead time, so that nothing is injected. One that is ten times too long wets the plugs.',
    example:
      'fuel:\n  cranking_pulse:\n    x: { quantity: coolant_temperature, unit: °C, breakpoints: [-20, 20, 80] }\n    unit: ms\n    values: [3.4, 1.6, 0.7]   # a tenth',
    remedy: 'Compare the curve with a cold start, or with the values of a similar injector.',
    basis:
      'Fuel delivered by a pulse (SAE J1832, linear range of an injector). The usual multiples are common practice, no source.',
  },
  settings: {
    cranking: { kind: 'voltage', value: '8 V', meaning: 'Supply voltage during cranking, in a 12 V system.' },
    cold: {
      kind: 'temperature',
      value: '20 °C',
      meaning: 'Coolant temperature up to which an engine is cold.',
    },
    least: { kind: 'ratio', value: '10 %', meaning: 'Lowest usual fuel for any cranking pulse.' },
    least_cold: { kind: 'ratio', value: '60 %', meaning: 'Lowest usual fuel for a cold engine.' },
    most: { kind: 'ratio', value: '3000 %', meaning: 'Highest usual fuel for any cranking pulse.' },
  },
  *find({ installation: { engines } }, { cranking, cold, least, least_cold, most }): Generator<Found> {
    for (const engine of engines) {
      const curve = engine.configuration.fuel?.cranking_pulse;
      const fuel = crankingFuel(engine, cranking * voltageFactor(engine.configuration));
      if (!curve?.x || !fuel) continue;
      const isCold = (i: number) => curve.x!.breakpoints[i]! <= cold;
      const low = fuel.findIndex((one, i) => passes(isCold(i) ? least_cold : least, one));
      const index = low >= 0 ? low : fuel.findIndex((one) => passes(one, most));
      const node = curve.rows[0]?.[index];
      if (!node) continue;
      const share = fuel[index]!;
      const limit = low < 0 ? most : isCold(index) ? least_cold : least;
      const what =
        share === 0 ? 'injects no fuel' : `injects ${rounded(share, '%')} of the stoichiometric fuel`;
      yield {
        at: node,
        cause: curve.node,
        message: `The cranking pulse of ${node.text} ${curve.unit} at ${formatStated(curve.x.breakpoints[index]!, curve.x.unit)} ${what}; ${low < 0 ? 'at most' : 'at least'} ${percent(limit, 4)} is usual.`,
      };
    }
  },
});

export const deadTimeUnusual: Check = engineCheck({
  id: 'dead-time-unusual',
  severity: 'warning',
  title: 'Dead time implausible',
  page: {
    catches:
      'A dead-time curve outside the usual range of port injectors at charging voltage, or one that is only slightly longer at cranking voltage.',
    why: 'The dead time is part of every pulse. At idle it is about as long as the rest of the pulse, so an error of 15 % in the dead time changes the mixture by about 15 %.',
    example:
      'fuel:\n  injectors:\n    dead_time:\n      x: { quantity: battery_voltage, unit: V, breakpoints: [8, 12, 16] }\n      unit: ms\n      values: [0.26, 0.13, 0.075]   # a tenth',
    remedy: 'Write the values of the injector maker for this rail pressure.',
    basis: 'Port injectors at 3 bar: common practice, no source.',
  },
  settings: {
    charging: { kind: 'voltage', value: '14 V', meaning: 'Charging voltage, in a 12 V system.' },
    cranking: { kind: 'voltage', value: '8 V', meaning: 'Cranking voltage, in a 12 V system.' },
    shortest: { kind: 'time', value: '0.4 ms', meaning: 'Shortest usual dead time at charging voltage.' },
    longest: { kind: 'time', value: '1.25 ms', meaning: 'Longest usual dead time at charging voltage.' },
    rise: {
      kind: 'number',
      value: '1.5',
      meaning: 'Lowest usual ratio of the dead time at cranking voltage to that at charging voltage.',
    },
  },
  *find({ installation: { engines } }, { charging, cranking, shortest, longest, rise }): Generator<Found> {
    for (const { configuration } of engines) {
      const curve = configuration.fuel?.injectors?.dead_time;
      if (!curve?.cells || curve.x?.quantity !== 'battery_voltage') continue;
      const factor = voltageFactor(configuration);
      const [high, low] = [charging * factor, cranking * factor];
      const ends = curve.x.breakpoints;
      // Beyond its ends the curve says nothing about the injector.
      const at = (volts: number) =>
        volts >= minimumOf(ends) && volts <= maximumOf(ends) ? lookUp(curve, volts) : undefined;
      const [charged, cranked] = [at(high), at(low)];
      if (charged === undefined) continue;
      const values = curve.node.get('values') ?? curve.node;
      if (passes(shortest, charged) || passes(charged, longest)) {
        yield {
          at: values,
          cause: curve.node,
          message: `The dead time is ${formatQuantity(charged, 'ms')} at ${formatStated(high, 'V')}; ${formatStated(shortest, 'ms')} to ${formatStated(longest, 'ms')} is usual.`,
        };
      } else if (cranked !== undefined && passes(charged * rise, cranked)) {
        yield {
          at: values,
          cause: curve.node,
          message: `The dead time is ${formatQuantity(cranked, 'ms')} at ${formatStated(low, 'V')} and ${formatQuantity(charged, 'ms')} at ${formatStated(high, 'V')}; a weak battery usually makes it at least ${rise} times as long.`,
        };
      }
    }
  },
});
