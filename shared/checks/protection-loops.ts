import type { ClosedLoopFuelPressure, Sensor } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { limitsOf, referenceOf, thresholdsOf } from '../derived/protection.ts';
import { minimumOf } from '../extremes.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { nearestName } from './protection-names.ts';
import { inUnitOf } from './protection-words.ts';

export const fuelPressureLoopWithoutSensor: Check = engineCheck({
  id: 'fuel-pressure-loop-without-sensor',
  severity: 'error',
  title: 'Fuel pressure loop without its sensor',
  page: {
    catches:
      'A fuel-pressure loop that has no sensor of the fuel pressure: none is named, none of that name is there, or it measures ' +
      'something else. A `fault_pressure` that no loop compensates for is said as information.',
    why: 'The fault pressure promises that the engine runs on when the rail sinks so far. Only a longer pulse keeps that promise, and only a sensor of the fuel pressure tells how long.',
    example:
      'fuel:\n  rail: { pressure: 3.0 bar, fault_pressure: 2.4 bar }\nclosed_loop:\n  fuel_pressure: { sensor: oil_pressure, compensate: true }',
    remedy: 'Name a sensor of the fuel pressure and set `compensate: true`, or take the fault pressure out.',
    basis: 'Flow goes with the root of the pressure across the injector (orifice equation).',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const loop = configuration.closed_loop?.fuel_pressure;
      const fault = configuration.fuel?.rail?.fault_pressure;
      if (loop) yield* withoutSensor(loop, configuration.sensors ?? {});
      if (!fault || loop?.compensate?.flag) continue;
      yield {
        at: loop?.compensate?.node ?? fault.node,
        severity: 'information',
        message: `The rail may sink to ${fault.node.text}, and no loop lengthens the pulse for it: the mixture leans.`,
      };
    }
  },
});

const followed = { lambda: 'lambda', knock: 'knock_intensity' } as const;

function* withoutSensor(
  loop: ClosedLoopFuelPressure,
  sensors: Readonly<Record<string, Sensor>>,
): Generator<Found> {
  const named = loop.sensor;
  const measures = named && Object.hasOwn(sensors, named.text) ? sensors[named.text]!.measures : undefined;
  if (!named) {
    yield { at: nodeOf(loop), message: 'The fuel-pressure loop names no sensor to follow.' };
  } else if (!Object.hasOwn(sensors, named.text)) {
    const message = `The fuel-pressure loop follows ${quote(named.text)}, and no sensor is called so.`;
    yield { at: named.node, message, fixes: nearestName(named.node, Object.keys(sensors)) };
  } else if (measures && measures.text !== 'fuel_pressure') {
    yield {
      at: named.node,
      message: `The fuel-pressure loop follows ${named.text}, which measures ${measures.text}.`,
      related: [{ at: measures.node, message: 'What the sensor measures.' }],
    };
  }
}

export const loopSensorOfOtherQuantity: Check = engineCheck({
  id: 'loop-sensor-of-other-quantity',
  severity: 'error',
  title: 'Loop follows a sensor of something else',
  page: {
    catches:
      'A lambda or knock loop whose sensor measures another quantity than the one it is to hold, and a boost servo whose feedback is not the place of the wastegate.',
    why: 'The loop takes the other quantity’s number for its own and steers fuel or spark by it, as far as its authority goes.',
    example: 'closed_loop:\n  lambda: { sensor: coolant_temperature, authority: 12 % }',
    remedy: 'Name the sensor that measures what the loop holds.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { configuration, engines } }): Generator<Found> {
    for (const { configuration: own } of engines) {
      const feedback = own.boost?.servo?.feedback;
      const place = feedback && measuredQuantity(feedback.text)?.entry.name;
      if (feedback && place !== undefined && place !== 'wastegate_position') {
        yield {
          at: feedback.node,
          message: `The servo follows ${feedback.text}, which does not tell where the wastegate stands.`,
        };
      }
      for (const name of ['lambda', 'knock'] as const) {
        const sensor = own.closed_loop?.[name]?.sensor;
        const measures = sensor && configuration.sensors?.[sensor.text]?.measures;
        if (!measures || measuredQuantity(measures.text)?.entry.name === followed[name]) continue;
        yield {
          at: sensor.node,
          message: `The ${name} loop follows ${sensor.text}, which measures ${measures.text}.`,
          related: [{ at: measures.node, message: 'What the sensor measures.' }],
        };
      }
    }
  },
});

export const exhaustTargetAboveLimit: Check = engineCheck({
  id: 'exhaust-target-above-limit',
  severity: 'error',
  title: 'Exhaust temperature target not below its limit',
  page: {
    catches:
      'A target of the exhaust temperature loop that is not below the loop’s own limit; a warning where it is above the caution of a limit that watches exhaust temperature, or the loop’s limit above its warning.',
    why: 'The loop holds the exhaust at the target. Where that is the limit, it holds turbine and valves at the edge; where it is above the caution, the light is on in every climb.',
    example: 'closed_loop:\n  exhaust_gas_temperature: { target: 900 °C, limit: 880 °C }',
    remedy: 'Keep the target below the caution and the limit not above the warning.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const { target, limit } = configuration.closed_loop?.exhaust_gas_temperature ?? {};
      if (target && limit && target.canonical >= limit.canonical) {
        yield {
          at: target.node,
          message: `The exhaust temperature loop aims at ${target.node.text}, which is not below its limit of ${limit.node.text}.`,
          related: [{ at: limit.node, message: 'The limit.' }],
        };
      }
      for (const watched of limitsOf(configuration)) {
        if (measuredQuantity(watched.watches)?.entry.name !== 'exhaust_gas_temperature') continue;
        if (watched.direction === 'below') continue;
        for (const { level, threshold } of thresholdsOf(watched)) {
          const held = level === 'caution' ? target : limit;
          const bounds = threshold.type === 'table' ? [...(threshold.cells ?? [])] : [threshold.canonical];
          const least = minimumOf(bounds);
          if (!held || referenceOf(threshold) !== undefined || held.canonical <= least) continue;
          yield {
            at: held.node,
            severity: 'warning',
            message: `The exhaust temperature loop has its ${level === 'caution' ? 'target' : 'limit'} at ${held.node.text}, above the ${level} of ${watched.name} at ${inUnitOf(threshold, least)}.`,
            related: [{ at: threshold.node, message: `The ${level} of ${watched.name}.` }],
          };
        }
      }
    }
  },
});

export const leanLimitMissing: Check = engineCheck({
  id: 'lean-limit-missing',
  severity: 'warning',
  title: 'Loop leans without a lean limit',
  page: {
    catches: 'An exhaust temperature loop with a `leaning_authority` and no `lean_limit`.',
    why: 'Leaning raises the exhaust temperature only up to the peak; past it the exhaust cools again, and a loop that leans towards its target runs away, into misfire or detonation.',
    example:
      'closed_loop:\n  exhaust_gas_temperature: { target: 820 °C, enrichment_authority: 10 %, leaning_authority: 5 % }',
    remedy: 'Write the leanest lambda that the loop may bring about.',
    basis:
      'Exhaust temperature peaks near the stoichiometric mixture: common knowledge of the trade, no source.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const loop = configuration.closed_loop?.exhaust_gas_temperature;
      if (!loop?.leaning_authority || loop.leaning_authority.canonical <= 0 || loop.lean_limit) continue;
      yield {
        at: loop.leaning_authority.node,
        message: `The exhaust temperature loop may take away ${loop.leaning_authority.node.text} of the fuel and has no lean limit.`,
      };
    }
  },
});

export const loopNeverWorks: Check = engineCheck({
  id: 'loop-never-works',
  severity: 'warning',
  title: 'Loop at speeds that the engine does not run at',
  page: {
    catches: 'A lambda loop whose `speed` range lies wholly below idle or above the maximum speed.',
    why: 'The loop is there to be relied on and never works: the mixture is what the map says, whatever the sensor sees.',
    example:
      'engine: { idle_speed: 1300 rpm, maximum_speed: 5800 rpm, ... }\nclosed_loop:\n  lambda: { sensor: lambda, authority: 12 %, speed: 120..500 rpm }   # 1200..5000 rpm was meant',
    remedy: 'Correct the range, or leave it out for a loop at every speed.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const speed = configuration.closed_loop?.lambda?.speed;
      const { idle_speed: idle, maximum_speed: maximum } = configuration.engine ?? {};
      if (!speed || !idle || !maximum) continue;
      if (speed.high.canonical >= idle.canonical && speed.low.canonical <= maximum.canonical) continue;
      yield {
        at: speed.node,
        message: `The lambda loop works at ${speed.node.text}, and the engine runs from ${idle.node.text} to ${maximum.node.text}.`,
        related: [{ at: idle.node, message: 'The idle speed.' }],
      };
    }
  },
});
