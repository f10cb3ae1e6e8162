import type { Engine } from '../configuration/installation.ts';
import { type Axis, nodeOf, type QuantityValue } from '../configuration/values.ts';
import { chargeTemperature, targetManifoldPressure } from '../derived/charge-air.ts';
import { meanPistonSpeedAtMaximumSpeed } from '../derived/cylinder.ts';
import { warmPower } from '../derived/fuel.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import type { ValueAtPoint } from '../derived/over-points.ts';
import { excessFinding, excessOf } from './beyond.ts';
import { boundCheck, type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { checkEach } from './each.ts';
import { placesBehind } from './follows.ts';
import { difference, formatQuantity, formatStated, statedBeside } from './words.ts';

export const chargeTemperatureHigh: Check = boundCheck({
  id: 'charge-temperature-high',
  severity: 'warning',
  title: 'Charge temperature too high',
  page: {
    catches:
      'An operating point, or any other state in the envelope, with a charge temperature above the limit.',
    why: 'A hot charge detonates more easily and is less dense, so boost that heats the air gives less power than its pressure suggests and requires less advance.',
    example:
      'boost:\n  intercooler: { effectiveness: 30 %, ... }\noperating_points:\n  take_off: { speed: 5500 rpm, throttle: 100 %, isa_deviation: 20 K, ... }   # 76 °C',
    remedy:
      'Improve the intercooler, lower the boost, or retard the ignition as charge temperature rises. If that retard is known to be sufficient, raise the limit to the temperature that it is designed for.',
    basis:
      'Common practice, no source. The temperature follows from the isentropic efficiency of the compressor.',
  },
  settings: {
    limit: { kind: 'temperature', value: '70 °C', meaning: 'Highest usual charge temperature on gasoline.' },
  },
  *find(subject, proof, { limit }) {
    yield* hotEach(subject.derivation.points, limit);
    const charge = yield* excessOf(subject, proof, {
      ...{ value: chargeTemperature, side: 'high', limitOf: () => limit },
    });
    yield* excessFinding(subject, charge, ({ boost }, { named, reached, where }) =>
      // Without boost the charge is as warm as the air, which no setting changes.
      named || !boost
        ? undefined
        : {
            ...{ at: nodeOf(boost.intercooler ?? boost), label: 'charge temperature' },
            ...{ name: 'hottest_charge', verb: 'gives' },
            message: `Charge temperature reaches ${formatQuantity(reached, '°C', 3)} ${where}, above the usual limit of ${formatStated(limit, '°C')}`,
          },
    );
  },
});

const hotEach = checkEach(function* (point: OperatingPoint, limit: number): Iterable<Found> {
  const charge = point.get(chargeTemperature);
  if (!charge || charge.canonical <= limit) return;
  yield {
    at: point.node,
    message: `Charge temperature at \`${point.name}\` is ${formatQuantity(charge.canonical, '°C', 3)}, above the usual limit of ${formatStated(limit, '°C')}.`,
    related: [{ at: point.node, message: `${charge.label}: ${charge.substituted}` }],
    follows: placesBehind(charge),
  };
});

/** An operating point whose power is compared with the rating of its map set. */
interface Rated extends ValueAtPoint {
  readonly rating: QuantityValue;
  /** Power relative to the rating. */
  readonly share: number;
}

const ratedPoints = ({ derivation }: EngineSubject): Rated[] =>
  derivation.points.flatMap((point) => {
    const value = point.get(warmPower);
    const rating = point.configuration.engine?.rated_power;
    return value && rating ? [{ point, value, rating, share: value.canonical / rating.canonical }] : [];
  });

/** Whether an operating point is at full throttle and, within a relative difference, at rated speed. */
function isAtRating({ point: { conditions, configuration } }: Rated, nearness: number): boolean {
  const { throttle, speed } = conditions;
  const rated = configuration.engine?.rated_speed?.canonical;
  const isFull = throttle !== undefined && throttle.canonical >= 1;
  return isFull && rated !== undefined && Math.abs(speed.canonical / rated - 1) <= nearness;
}

const mostPowerful = (points: readonly Rated[]): Rated | undefined =>
  points.reduce<Rated | undefined>((most, one) => (most && most.share >= one.share ? most : one), undefined);

export const powerImplausible: Check = engineCheck({
  id: 'power-implausible',
  severity: 'warning',
  title: 'Power does not match rating',
  page: {
    catches:
      'An estimated power that differs from `engine.rated_power` by more than the tolerance. Power below the rating is reported for the most powerful operating point at full throttle and rated speed, power above it for any operating point. Warm-up enrichment does not count, because the extra fuel produces no power.',
    why: 'The estimate is computed from air, mixture and specific fuel consumption. If it does not match the rating, something is wrong: the volumetric efficiency map, the boost target, the injector flow or the rating itself. Every pulse width is computed from these values.',
    example: 'engine:\n  rated_power: 95 kW   # the fuel at take_off gives 120 kW',
    remedy:
      'Compare the volumetric efficiency map and the specific fuel consumption with a measured run, and correct what does not agree.',
    basis:
      'Fuel flow divided by specific fuel consumption (Heywood, eq. 2.22). The tolerance is common practice, no source.',
  },
  settings: {
    tolerance: {
      kind: 'ratio',
      value: '20 %',
      meaning: 'Deviation that weather and an unmeasured map can explain.',
    },
    speed: {
      kind: 'ratio',
      value: '3 %',
      meaning: 'Largest difference from rated speed at which an operating point represents the rating.',
    },
  },
  *find(subject, { tolerance, speed }): Generator<Found> {
    const points = ratedPoints(subject);
    const highest = mostPowerful(points);
    const atRating = mostPowerful(points.filter((one) => isAtRating(one, speed)));
    const isAbove = highest && highest.share > 1 + tolerance;
    const isBelow = atRating && atRating.share < 1 - tolerance;
    const shown = isAbove ? highest : isBelow ? atRating : undefined;
    if (!shown) return;
    const { point, value: power, rating } = shown;
    yield {
      at: rating.node,
      message: `Estimated power at \`${point.name}\` is ${formatQuantity(power.canonical, 'kW', 3)}, ${difference(power.canonical, rating.canonical)} ${isAbove ? 'above' : 'below'} the rated ${statedBeside(rating, 'kW')}.`,
      related: [{ at: point.node, message: `${power.label}: ${power.substituted}` }],
      follows: placesBehind(power),
    };
  },
});

export const meanPistonSpeedHigh: Check = engineCheck({
  id: 'mean-piston-speed-high',
  severity: 'warning',
  title: 'Mean piston speed too high',
  page: {
    catches: 'A mean piston speed above the limit at `engine.maximum_speed`.',
    why: 'The load on pistons and rods grows with the square of speed. Engines that must last stay well below the speeds of racing engines. A higher value is more often a typing error in stroke or speed.',
    example: 'engine: { stroke: 90 mm, maximum_speed: 7500 rpm, ... }   # 22.5 m/s',
    remedy: 'Check the stroke and the maximum speed, or lower the speed.',
    basis:
      'Mean piston speed is 2 · stroke · speed (Heywood, eq. 2.9). The limit is common practice, no source.',
  },
  settings: {
    limit: { kind: 'speed', value: '20 m/s', meaning: 'Highest mean piston speed of engines built to last.' },
  },
  *find({ installation: { configuration }, derivation }, { limit }) {
    const stroke = configuration.engine?.stroke;
    for (const speed of derivation.get(meanPistonSpeedAtMaximumSpeed)) {
      if (!stroke || speed.canonical <= limit) continue;
      yield {
        at: speed.node,
        message: `Mean piston speed reaches ${formatQuantity(speed.canonical, 'm/s', 3)} (${speed.substituted}), above the usual limit of ${formatStated(limit, 'm/s')}.`,
        related: [{ at: stroke.node, message: 'The stroke.' }],
      };
    }
  },
});

/** The speed axes of the maps in use at idle. */
function idleAxes({ configuration: { fuel, ignition } }: Engine): { name: string; axis: Axis }[] {
  const tables = {
    'fuel.volumetric_efficiency': fuel?.volumetric_efficiency,
    'fuel.target_lambda': fuel?.target_lambda,
    'ignition.advance': ignition?.advance,
  };
  return Object.entries(tables).flatMap(([name, table]) =>
    table?.x?.quantity === 'engine_speed' ? [{ name, axis: table.x }] : [],
  );
}

export const idleAboveLowestBreakpoint: Check = engineCheck({
  id: 'idle-above-lowest-breakpoint',
  severity: 'warning',
  title: 'Idle speed below first breakpoint',
  page: {
    catches:
      'A map of volumetric efficiency, target lambda or advance whose first speed breakpoint is above `engine.idle_speed`.',
    why: 'Below its first breakpoint a map holds its edge value, so fuel and spark no longer follow the speed. A steady idle needs a little more advance as the speed drops.',
    example:
      'engine: { idle_speed: 900 rpm, ... }\nignition:\n  advance: { x: { quantity: engine_speed, unit: rpm, breakpoints: [1500, 3000, 6000] }, ... }',
    remedy: 'Add a column at or below idle speed, or correct the idle speed.',
    basis: 'Common practice, no source.',
  },
  *find({ installation: { configuration, engines } }) {
    const idle = configuration.engine?.idle_speed;
    if (!idle) return;
    for (const { name, axis } of engines.flatMap(idleAxes)) {
      const [first] = axis.breakpoints;
      if (first === undefined || first <= idle.canonical) continue;
      yield {
        at: axis.nodes[0] ?? axis.node,
        message: `\`${name}\` begins at ${formatStated(first, 'rpm')}, above the idle speed of ${idle.node.text}, so at idle the map holds its edge value.`,
        related: [{ at: idle.node, message: 'The idle speed.' }],
      };
    }
  },
});

export const partThrottleNeedsPressure: Check = engineCheck({
  id: 'part-throttle-needs-pressure',
  severity: 'warning',
  title: 'Operating point without manifold pressure',
  page: {
    catches:
      'An operating point at part throttle that does not state `manifold_pressure`, on an engine without boost.',
    why: 'How far a throttle lowers the pressure depends on the engine, and there is no boost target to take it from. Without the pressure, air, fuel, duty and advance of the operating point cannot be computed or checked.',
    example: 'operating_points:\n  cruise: { speed: 4200 rpm, throttle: 60 %, pressure_altitude: 6000 ft }',
    remedy: 'Add `manifold_pressure`, as measured on the engine at that point.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { configuration }, derivation }) {
    if (configuration.boost) return;
    for (const point of derivation.points) {
      const { throttle } = point.conditions;
      if (!throttle || throttle.canonical >= 1 || point.conditions.manifoldPressure) continue;
      if (point.get(targetManifoldPressure)) continue;
      const written = configuration.operating_points?.[point.name]?.throttle;
      yield {
        at: written?.node ?? point.node,
        message: `\`${point.name}\` has no \`manifold_pressure\`, and at ${formatStated(throttle.canonical, '%')} throttle it cannot be computed.`,
      };
    }
  },
});
