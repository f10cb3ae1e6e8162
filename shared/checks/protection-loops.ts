import type { ClosedLoopFuelPressure, EngineConfiguration } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { absoluteCut } from '../derived/boost-target.ts';
import { highestExhaustTarget } from '../derived/loop-targets.ts';
import { RANGED_LOOPS, type RangedLoop } from '../derived/loops.ts';
import { DEFAULT_COOLANT_TEMPERATURE } from '../derived/operating-point.ts';
import { limitsOf, referenceOf, thresholdsOf } from '../derived/protection.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { causeIfUnmeasured } from './causes.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { ALCOHOLS } from './dense-charge.ts';
import { quote } from './form-words.ts';
import { nearestName } from './protection-names.ts';
import { inUnitOf, quantityOfLoop } from './protection-words.ts';
import { passes } from './threshold.ts';
import { formatQuantity, formatStated, statedBeside } from './words.ts';

export const fuelPressureLoopWithoutSensor: Check = engineCheck({
  id: 'fuel-pressure-loop-without-sensor',
  severity: 'error',
  title: 'Fuel pressure loop without its sensor',
  page: {
    catches:
      'A fuel pressure loop without a fuel pressure sensor: it names none, the name is unknown, or the sensor measures another ' +
      'quantity. A `fault_pressure` that no loop compensates for is reported as information.',
    why: 'The engine must keep running down to the fault pressure. It needs a longer pulse there, and the controller needs a fuel pressure sensor to compute it.',
    example:
      'fuel:\n  rail: { pressure: 3.0 bar, fault_pressure: 2.4 bar }\nclosed_loop:\n  fuel_pressure: { sensor: oil_pressure, compensate: true }',
    remedy: 'Name a fuel pressure sensor and set `compensate: true`, or remove the fault pressure.',
    basis: 'Flow is proportional to the square root of the pressure across the injector (orifice equation).',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const loop = configuration.closed_loop?.fuel_pressure;
      const fault = configuration.fuel?.rail?.fault_pressure;
      if (loop) yield* withoutSensor(loop, configuration);
      if (!fault || loop?.compensate?.flag) continue;
      yield {
        at: loop?.compensate?.node ?? fault.node,
        severity: 'information',
        message: `The rail pressure may fall to ${fault.node.text}, but no loop lengthens the pulse, so the mixture becomes lean.`,
      };
    }
  },
});

function* withoutSensor(loop: ClosedLoopFuelPressure, configuration: EngineConfiguration): Generator<Found> {
  const { sensors = {} } = configuration;
  const cause = causeIfUnmeasured(configuration, 'fuel_pressure');
  const named = loop.sensor;
  const measures = named && Object.hasOwn(sensors, named.text) ? sensors[named.text]!.measures : undefined;
  if (!named) {
    yield { at: nodeOf(loop), message: 'The fuel pressure loop names no sensor.', cause };
  } else if (!Object.hasOwn(sensors, named.text)) {
    const message = `The fuel pressure loop uses ${quote(named.text)}, but no sensor has that name.`;
    yield { at: named.node, message, fixes: nearestName(named.node, Object.keys(sensors)), cause };
  } else if (measures && measures.text !== 'fuel_pressure') {
    yield {
      at: named.node,
      message: `The fuel pressure loop uses ${quote(named.text)}, which measures ${quote(measures.text)}, not \`fuel_pressure\`.`,
      related: [{ at: measures.node, message: 'The quantity of the sensor.' }],
      cause,
    };
  }
}

export const loopSensorOfOtherQuantity: Check = engineCheck({
  id: 'loop-sensor-of-other-quantity',
  severity: 'error',
  title: 'Loop uses the wrong sensor',
  page: {
    catches:
      'A lambda or knock loop whose sensor measures another quantity, and a boost servo whose feedback is not the wastegate position.',
    why: 'The loop corrects fuel or spark based on the wrong quantity, as far as its authority allows.',
    example: 'closed_loop:\n  lambda: { sensor: coolant_temperature, authority: 12 % }',
    remedy: 'Name the sensor that measures the quantity of the loop.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { configuration, engines } }): Generator<Found> {
    for (const { configuration: own } of engines) {
      const feedback = own.boost?.servo?.feedback;
      const place = feedback && measuredQuantity(feedback.text)?.entry.name;
      if (feedback && place !== undefined && place !== 'wastegate_position') {
        yield {
          at: feedback.node,
          message: `The boost servo uses ${quote(feedback.text)}, which is not the wastegate position.`,
        };
      }
      for (const [name, quantity] of quantityOfLoop) {
        const sensor = own.closed_loop?.[name]?.sensor;
        const measures = sensor && configuration.sensors?.[sensor.text]?.measures;
        if (!measures || measuredQuantity(measures.text)?.entry.name === quantity) continue;
        yield {
          at: sensor.node,
          message: `The ${name} loop uses ${quote(sensor.text)}, which measures ${quote(measures.text)}, not ${quote(quantity)}.`,
          related: [{ at: measures.node, message: 'The quantity of the sensor.' }],
          cause: causeIfUnmeasured(configuration, quantity),
        };
      }
    }
  },
});

function limitOf({ closed_loop: loops }: EngineConfiguration) {
  const limit = loops?.exhaust_gas_temperature?.limit;
  return limit && { canonical: limit.canonical, node: limit.node, text: limit.node.text };
}

export const exhaustTargetAboveLimit: Check = engineCheck({
  id: 'exhaust-target-above-limit',
  severity: 'error',
  title: 'Exhaust target not below limit',
  onStandby: true,
  page: {
    catches:
      'A target of the exhaust temperature loop that is not below the limit of the loop. It is a warning if the target is above the caution of a limit on exhaust temperature, or the loop limit above its warning.',
    why: 'The loop holds the exhaust at the target. A target at the limit keeps turbine and valves at their limit; a target above the caution turns the light on in every climb.',
    example: 'closed_loop:\n  exhaust_gas_temperature: { target: 900 °C, limit: 880 °C }',
    remedy: 'Set the target below the caution, and the limit of the loop no higher than the warning.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const target = highestExhaustTarget(configuration);
      const limit = limitOf(configuration);
      if (target && limit && target.canonical >= limit.canonical) {
        yield {
          at: target.node,
          message: `The target of the exhaust temperature loop, ${target.text}, is not below its limit of ${limit.text}.`,
          related: [{ at: limit.node, message: 'The limit.' }],
          cause: target.node,
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
            message: `The ${level === 'caution' ? 'target' : 'limit'} of the exhaust temperature loop, ${held.text}, is above the ${level} of ${quote(watched.name)} at ${inUnitOf(threshold, least)}.`,
            related: [{ at: threshold.node, message: `The ${level} of ${quote(watched.name)}.` }],
            cause: held.node,
          };
        }
      }
    }
  },
});

export const exhaustTargetUnusual: Check = engineCheck({
  id: 'exhaust-target-unusual',
  severity: 'warning',
  title: 'Unusual exhaust target',
  page: {
    catches:
      'A target of the exhaust temperature loop that is only a few kelvin below the limit of the loop, or so low that the exhaust of a sound engine is always hotter. The latter is not checked on alcohol (`e85`, `ethanol`, `methanol`).',
    why: 'With the target at the limit, the limit already acts when the loop begins to enrich. With a target below the usual temperature it enriches all the time: power falls and consumption rises.',
    example: 'closed_loop:\n  exhaust_gas_temperature: { target: 889 °C, limit: 890 °C }',
    remedy: 'Set the target well below the limit, at a temperature that the turbine withstands continuously.',
    basis: 'Common practice, no source.',
  },
  settings: {
    room: {
      kind: 'temperature difference',
      value: '10 K',
      meaning: 'Smallest usual distance between the target and the limit of the loop.',
    },
    lowest: { kind: 'temperature', value: '720 °C', meaning: 'Lowest usual target.' },
  },
  *find({ installation: { engines } }, { room, lowest }) {
    for (const { configuration } of engines) {
      const target = highestExhaustTarget(configuration);
      const limit = limitOf(configuration);
      if (!target) continue;
      const distance = limit && limit.canonical - target.canonical;
      if (limit && distance! > 0 && passes(room, distance!)) {
        yield {
          at: target.node,
          message: `The target of the exhaust temperature loop, ${target.text}, is ${formatQuantity(distance!, 'K')} below its limit of ${limit.text}; at least ${formatStated(room, 'K')} is usual.`,
          related: [{ at: limit.node, message: 'The limit.' }],
        };
      }
      if (ALCOHOLS.has(configuration.fuel?.grade?.text ?? '') || !passes(lowest, target.canonical)) continue;
      yield {
        at: target.node,
        message: `The target of the exhaust temperature loop, ${target.text}, is below the usual ${formatStated(lowest, '°C')}, so the loop enriches all the time.`,
      };
    }
  },
});

export const leanLimitMissing: Check = engineCheck({
  id: 'lean-limit-missing',
  severity: 'warning',
  title: 'Lean limit missing',
  onStandby: true,
  page: {
    catches: 'An exhaust temperature loop with `leaning_authority` but without `lean_limit`.',
    why: 'Leaning raises the exhaust temperature only up to its peak. Beyond the peak the exhaust cools again, so a loop that leans towards its target runs away into misfire or detonation.',
    example:
      'closed_loop:\n  exhaust_gas_temperature: { target: 820 °C, enrichment_authority: 10 %, leaning_authority: 5 % }',
    remedy: 'Add `lean_limit`, the leanest lambda that the loop may make.',
    basis: 'Exhaust temperature peaks near the stoichiometric mixture: common practice, no source.',
  },
  *find({ installation: { engines } }) {
    for (const { configuration } of engines) {
      const loop = configuration.closed_loop?.exhaust_gas_temperature;
      if (!loop?.leaning_authority || loop.leaning_authority.canonical <= 0 || loop.lean_limit) continue;
      yield {
        at: loop.leaning_authority.node,
        message: `The exhaust temperature loop may remove ${loop.leaning_authority.node.text} of the fuel but has no \`lean_limit\`.`,
      };
    }
  },
});

export const loopNeverWorks: Check = engineCheck({
  id: 'loop-never-works',
  severity: 'warning',
  title: 'Loop never active',
  page: {
    catches:
      'A lambda, exhaust temperature or knock loop whose `speed` range is entirely below idle speed or above maximum speed, whose `manifold_pressure` range begins above the overboost cut, or with `active_above` a coolant temperature that the engine reaches neither at an operating point nor in the envelope.',
    why: 'The loop is never active, so mixture and advance are what the maps say, whatever the sensor reads.',
    example:
      'engine: { idle_speed: 1300 rpm, maximum_speed: 5800 rpm, ... }\nclosed_loop:\n  lambda: { sensor: lambda, authority: 12 %, speed: 120..500 rpm }   # 1200..5000 rpm was meant',
    remedy: 'Correct the range or the temperature, or remove it so that the loop is active everywhere.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation, derivation }) {
    const { engines } = installation;
    const warmest = maximumOf([
      DEFAULT_COOLANT_TEMPERATURE,
      installation.configuration.envelope?.coolant_temperature?.high.canonical ?? 0,
      ...derivation.points.map(({ conditions }) => conditions.coolantTemperature.canonical),
    ]);
    for (const { configuration } of engines) {
      for (const [name, title] of RANGED_LOOPS) yield* neverWorks(configuration, name, title, warmest);
    }
  },
});

function* neverWorks(
  configuration: EngineConfiguration,
  name: RangedLoop,
  title: string,
  warmest: number,
): Generator<Found> {
  const above = configuration.closed_loop?.[name]?.active_above;
  if (above && above.canonical >= warmest) {
    yield {
      at: above.node,
      message: `The ${title} loop is active only above ${statedBeside(above, '°C')}, but the coolant reaches only ${formatQuantity(warmest, '°C')}.`,
      cause: above.node,
    };
  }
  const { speed, manifold_pressure: load } = configuration.closed_loop?.[name] ?? {};
  const { idle_speed: idle, maximum_speed: maximum } = configuration.engine ?? {};
  if (
    speed &&
    idle &&
    maximum &&
    (speed.high.canonical < idle.canonical || speed.low.canonical > maximum.canonical)
  ) {
    yield {
      at: speed.node,
      message: `The ${title} loop is active at ${speed.node.text}, but the engine runs from ${idle.node.text} to ${maximum.node.text}.`,
      related: [{ at: idle.node, message: 'The idle speed.' }],
    };
  }
  const cut = configuration.boost?.overboost_cut;
  if (!load || !cut || load.low.canonical <= absoluteCut(cut)) return;
  yield {
    at: load.node,
    message: `The ${title} loop is active at ${load.node.text}, but the overboost cut is at ${cut.node.text}.`,
    related: [{ at: cut.node, message: 'The overboost cut.' }],
  };
}
