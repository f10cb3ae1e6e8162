import type { Engine } from '../configuration/installation.ts';
import type { Axis } from '../configuration/values.ts';
import { chargeTemperature, targetManifoldPressure } from '../derived/charge-air.ts';
import { meanPistonSpeedAtMaximumSpeed } from '../derived/cylinder.ts';
import { estimatedPower } from '../derived/fuel.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { extremeOver, type ValueAtPoint } from '../derived/over-points.ts';
import { type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { judgeEach } from './each.ts';
import { difference, formatQuantity } from './words.ts';

export const chargeTemperatureHigh: Check = engineCheck({
  id: 'charge-temperature-high',
  severity: 'warning',
  title: 'Hot charge',
  page: {
    catches: 'An operating point whose charge is hotter than the limit.',
    why: 'A hot charge detonates sooner and is thinner, so boost that heats the air gives less power than it seems and needs less advance.',
    example:
      'boost:\n  intercooler: { effectiveness: 30 %, ... }\noperating_points:\n  take_off: { speed: 5500 rpm, throttle: 100 %, isa_deviation: 20 K, ... }   # 76 °C',
    remedy:
      'A better intercooler, less boost, or a retard over charge temperature that is known to be enough; then state the temperature that it is made for.',
    basis: 'Common practice, no source. The temperature follows from the compressor’s isentropic efficiency.',
  },
  settings: {
    limit: { kind: 'temperature', value: '70 °C', meaning: 'The hottest charge that is usual on gasoline.' },
  },
  *find({ derivation }, { limit }) {
    yield* hotEach(derivation.points, limit);
  },
});

const hotEach = judgeEach(function* (point: OperatingPoint, limit: number): Iterable<Found> {
  const charge = point.get(chargeTemperature);
  if (!charge || charge.canonical <= limit) return;
  yield {
    at: point.node,
    message: `The charge is at ${formatQuantity(charge.canonical, '°C', 3)} in ${point.name}; ${formatQuantity(limit, '°C')} is the usual limit.`,
    related: [{ at: point.node, message: `${charge.label}: ${charge.substituted}` }],
  };
});

/** The point that shows the rated power: of those at full throttle and rated speed, that which gives most. */
function ratedPoint({ installation, derivation }: EngineSubject, nearness: number): ValueAtPoint | undefined {
  const rated = installation.configuration.engine?.rated_speed?.canonical;
  if (rated === undefined) return undefined;
  return extremeOver(derivation.points, estimatedPower, 1, ({ conditions: { throttle, speed } }) => {
    const isFull = throttle !== undefined && throttle.canonical >= 1;
    return isFull && Math.abs(speed.canonical / rated - 1) <= nearness;
  });
}

export const powerImplausible: Check = engineCheck({
  id: 'power-implausible',
  severity: 'warning',
  title: 'Power does not fit the rating',
  page: {
    catches:
      'An estimated power that is further than the tolerance from `engine.rated_power`, at the operating point with full throttle and rated speed that gives most; at any other point, only one that is above the rating.',
    why: 'The estimate comes from air, mixture and specific consumption. Where it misses the rating, one of them is wrong: the filling map, the boost target, the injector’s flow or the rating itself, and every pulse is computed from them.',
    example: 'engine:\n  rated_power: 95 kW   # the fuel at take_off makes 120 kW',
    remedy:
      'Compare the filling map and the specific consumption with a measured run; correct what does not agree.',
    basis:
      'Fuel flow over specific consumption (Heywood, eq. 2.22); the tolerance is common practice, no source.',
  },
  settings: {
    tolerance: { kind: 'ratio', value: '20 %', meaning: 'What weather and an unmeasured map may leave.' },
    speed: {
      kind: 'ratio',
      value: '3 %',
      meaning: 'How near to rated speed a point stands for the rating.',
    },
  },
  *find(subject, { tolerance, speed }): Generator<Found> {
    const rated = subject.installation.configuration.engine?.rated_power;
    if (!rated) return;
    const atRating = ratedPoint(subject, speed);
    const highest = extremeOver(subject.derivation.points, estimatedPower);
    const isAbove = highest && highest.value.canonical > rated.canonical * (1 + tolerance);
    const isBelow = atRating && atRating.value.canonical < rated.canonical * (1 - tolerance);
    const shown = isAbove ? highest : isBelow ? atRating : undefined;
    if (!shown) return;
    const { point, value: power } = shown;
    yield {
      at: rated.node,
      message: `The fuel at ${point.name} makes ${formatQuantity(power.canonical, 'kW', 3)}, ${difference(power.canonical, rated.canonical)} ${isAbove ? 'more' : 'less'} than the rated ${rated.node.text}.`,
      related: [{ at: point.node, message: `${power.label}: ${power.substituted}` }],
    };
  },
});

export const meanPistonSpeedHigh: Check = engineCheck({
  id: 'mean-piston-speed-high',
  severity: 'warning',
  title: 'Pistons faster than usual',
  page: {
    catches: 'A mean piston speed over the limit at `engine.maximum_speed`.',
    why: 'Load on pistons and rods grows with the square of speed. Engines that must last stay well below what racing engines bear; a figure above it more often shows a slip in stroke or speed.',
    example: 'engine: { stroke: 90 mm, maximum_speed: 7500 rpm, ... }   # 22.5 m/s',
    remedy: 'Check stroke and maximum speed, or lower the speed.',
    basis:
      'Mean piston speed is 2 · stroke · speed (Heywood, eq. 2.9); the limit is common practice, no source.',
  },
  settings: {
    limit: { kind: 'speed', value: '20 m/s', meaning: 'The most that engines made to last are run at.' },
  },
  *find({ installation: { configuration }, derivation }, { limit }) {
    const speed = derivation.one(meanPistonSpeedAtMaximumSpeed);
    const stroke = configuration.engine?.stroke;
    if (!speed || !stroke || speed.canonical <= limit) return;
    yield {
      at: speed.node,
      message: `The mean piston speed reaches ${formatQuantity(speed.canonical, 'm/s', 3)} (${speed.substituted}); ${formatQuantity(limit, 'm/s')} is the usual limit.`,
      related: [{ at: stroke.node, message: 'The stroke.' }],
    };
  },
});

/** The speed axes that the engine idles on. */
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
  title: 'Idle below the first breakpoint',
  page: {
    catches:
      'A map of filling, mixture or advance whose first speed breakpoint lies above `engine.idle_speed`. Idle must be above the lowest breakpoint.',
    why: 'Outside its breakpoints a map holds its edge: below the first one fuel and spark no longer follow the speed, just where a steady idle needs a little more advance as the speed drops.',
    example:
      'engine: { idle_speed: 900 rpm, ... }\nignition:\n  advance: { x: { quantity: engine_speed, unit: rpm, breakpoints: [1500, 3000, 6000] }, ... }',
    remedy: 'Add a column below idle, or correct the idle speed.',
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
        message: `${name} begins at ${formatQuantity(first, 'rpm')}; the engine idles at ${idle.node.text}, where the map only holds its edge.`,
        related: [{ at: idle.node, message: 'The idle speed.' }],
      };
    }
  },
});

export const partThrottleNeedsPressure: Check = engineCheck({
  id: 'part-throttle-needs-pressure',
  severity: 'warning',
  title: 'Manifold pressure of a point unknown',
  page: {
    catches:
      'An operating point at part throttle, of an engine without boost, that does not state its `manifold_pressure`.',
    why: 'How far a throttle lowers the pressure depends on the engine, and no target says it. Without the pressure nothing of the point can be computed or checked: air, fuel, duty and advance stay unknown.',
    example: 'operating_points:\n  cruise: { speed: 4200 rpm, throttle: 60 %, pressure_altitude: 6000 ft }',
    remedy: 'State the manifold pressure that the engine shows there.',
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
        message: `At ${formatQuantity(throttle.canonical, '%')} throttle the manifold pressure of ${point.name} cannot be known; state it as \`manifold_pressure\`.`,
      };
    }
  },
});
