import { estimatedPower } from '../derived/fuel.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { propellerAbsorbedPower, propellerBalanceSpeed } from '../derived/propeller.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { checkEach } from './each.ts';
import { formatQuantity, formatStated, rounded } from './words.ts';

/** A relative difference that is only rounding. */
const ROUNDING = 1e-6;

export const reductionRatiosDiffer: Check = engineCheck({
  id: 'reduction-ratios-differ',
  severity: 'error',
  title: 'Two different reduction ratios',
  page: {
    catches: 'A `gearbox.ratio` and an `engine.reduction_ratio` that differ.',
    why: 'Both are the crank revolutions per propeller revolution. The propeller values follow from `gearbox.ratio`; a reader of the other key expects another propeller.',
    example: 'engine: { reduction_ratio: 2.58, ... }\ngearbox: { ratio: 2.35 }',
    remedy: 'Write the ratio once, as `gearbox.ratio`.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration } }): Generator<Found> {
    const long = configuration.gearbox?.ratio;
    const short = configuration.engine?.reduction_ratio;
    if (!long || !short) return;
    if (Math.abs(long.canonical - short.canonical) <= ROUNDING * long.canonical) return;
    yield {
      at: long.node,
      message: `\`gearbox.ratio\` is ${long.node.text}, but \`engine.reduction_ratio\` is ${short.node.text}.`,
      related: [{ at: short.node, message: '`engine.reduction_ratio`.' }],
    };
  },
});

export const propellerSpeedMismatch: Check = engineCheck({
  id: 'propeller-speed-mismatch',
  severity: 'warning',
  title: 'Propeller does not fit the power',
  page: {
    catches:
      'An operating point at full throttle whose speed differs from the one at which the propeller absorbs the estimated power by more than the tolerance. It applies to a propeller of fixed or ground-adjustable pitch on an engine with rated power and rated speed.',
    why: 'A propeller of fixed pitch sets the speed at full throttle. With too little power the engine never reaches the speed of the operating point; with too much it exceeds that speed.',
    example:
      'engine: { rated_power: 95 kW, rated_speed: 5500 rpm, ... }\npropeller: { diameter: 1.7 m, pitch: fixed }\noperating_points:\n  climb: { speed: 4600 rpm, throttle: 100 %, ... }   # 88 kW, which this propeller absorbs at 5370 rpm',
    remedy:
      'Correct the speed of the operating point or the rating, or fit a propeller with a pitch for this power.',
    basis:
      'Absorbed power is proportional to air density and to the cube of speed, scaled from rated power at rated speed at sea level (constant power coefficient). Forward speed unloads the propeller, and the tolerance allows for that: common practice, no source.',
  },
  settings: {
    tolerance: {
      kind: 'ratio',
      value: '12 %',
      meaning: 'Largest usual difference in speed between standing still and fast flight.',
    },
  },
  *find({ derivation }, { tolerance }) {
    yield* mismatchEach(derivation.points, tolerance);
  },
});

const mismatchEach = checkEach(function* (point: OperatingPoint, tolerance: number): Iterable<Found> {
  const { throttle, speed } = point.conditions;
  if (!throttle || throttle.canonical < 1) return;
  const balance = point.get(propellerBalanceSpeed);
  const power = point.get(estimatedPower);
  const absorbed = point.get(propellerAbsorbedPower);
  if (!balance || !power || !absorbed) return;
  if (Math.abs(balance.canonical / speed.canonical - 1) <= tolerance) return;
  const [given, taken] = [power, absorbed].map(({ canonical }) => formatQuantity(canonical, 'kW', 3));
  yield {
    at: speed.node ?? point.node,
    message: `At \`${point.name}\` the engine gives ${given} and the propeller absorbs ${taken} at ${formatStated(speed.canonical, 'rpm')}; they balance at ${rounded(balance.canonical, 'rpm')}.`,
    related: [{ at: point.node, message: `${balance.label}: ${balance.substituted}` }],
  };
});
