import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Engine } from '../configuration/installation.ts';
import { counted } from '../counted.ts';
import { targetManifoldPressure } from '../derived/charge-air.ts';
import { highestExhaustTarget, type LambdaTarget, lambdaTargets } from '../derived/loop-targets.ts';
import { inactiveBy } from '../derived/loops.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { sensorsByQuantity } from '../derived/sensor-reading.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { formatNumber, formatQuantity, formatStated } from './words.ts';

export const knockLoopInactiveAtLoad: Check = engineCheck({
  id: 'knock-loop-inactive-at-load',
  severity: 'warning',
  title: 'Knock loop inactive at full load',
  page: {
    catches:
      'An operating point at full throttle outside the `speed` or `manifold_pressure` range of the knock loop.',
    why: 'Detonation occurs at full load. A loop that is inactive there protects the engine only where it needs no protection.',
    example:
      'closed_loop:\n  knock: { sensor: knock, retard_step: 2 deg, maximum_retard: 10 deg, manifold_pressure: 60..120 kPa abs }\noperating_points:\n  take_off: { speed: 5500 rpm, throttle: 100 %, ... }   # 147 kPa abs',
    remedy: 'Extend the range to the highest boost target and to full speed.',
    basis: 'Common practice, no source.',
  },
  *find({ derivation }): Generator<Found> {
    const outside = derivation.points.filter(isFullLoad).flatMap((point) => {
      const [range] = inactiveBy(point, 'knock').filter(({ step }) => step !== 'active_above');
      return range ? [{ point, range }] : [];
    });
    const [first, ...others] = outside;
    if (!first) return;
    const { point, range } = first;
    const pressure = point.number(targetManifoldPressure);
    const load = pressure === undefined ? '' : `, ${formatQuantity(pressure, 'kPa abs', 3)}`;
    const more = others.length === 0 ? ', a point' : ` and ${counted(others.length, 'more operating point')}`;
    yield {
      at: range,
      message: `The knock loop is not active at ${quote(point.name)} (${formatStated(point.conditions.speed.canonical, 'rpm')}${load})${more} at full throttle.`,
      related: [{ at: point.node, message: 'The operating point.' }],
    };
  },
});

const isFullLoad = ({ conditions: { throttle } }: OperatingPoint): boolean =>
  throttle !== undefined && throttle.canonical >= 1;

export const knockThresholdOutsideInput: Check = engineCheck({
  id: 'knock-threshold-outside-input',
  severity: 'error',
  title: 'Knock threshold beyond controller input',
  page: {
    catches: 'A knock threshold above the input range of the controller pin of the knock sensor.',
    why: 'The signal can never reach the threshold, so the loop never sees a knock.',
    example:
      'closed_loop:\n  knock: { sensor: knock, threshold: { ..., unit: V, values: [0.8, 6.5] }, ... }   # the pin reads 0..5 V',
    remedy: 'Correct the curve, or lower the gain and the threshold together.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration, engines, controller } }): Generator<Found> {
    for (const engine of engines) {
      const { sensor: named, threshold } = engine.configuration.closed_loop?.knock ?? {};
      const pin = named && configuration.sensors?.[named.text]?.pin;
      const range = pin && controller?.pins?.[pin.text]?.range;
      if (!threshold?.cells || !range) continue;
      const index = threshold.cells.findIndex((cell) => cell > range.high.canonical);
      if (index < 0) continue;
      yield {
        at: threshold.rows.flat()[index] ?? threshold.node,
        message: `The knock threshold of ${formatStated(threshold.cells[index]!, 'V')} is above the input range of pin ${quote(pin.text)}, ${range.node.text}.`,
        related: [{ at: range.node, message: 'The range of the pin.' }],
      };
    }
  },
});

export const loopTargetOutsideSensor: Check = engineCheck({
  id: 'loop-target-outside-sensor',
  severity: 'warning',
  title: 'Loop target beyond its sensor',
  page: {
    catches:
      'A target lambda, in the range of speeds and pressures in which the lambda loop is active, that its sensor cannot read, and a target of the exhaust temperature loop above the maximum of an exhaust sensor.',
    why: 'At the end of the sensor’s range the reading no longer changes. The loop never reaches its target and runs to its full authority.',
    example:
      'sensors:\n  lambda: { measures: lambda, kind: wideband, range: 0.85..1.30, ... }\nclosed_loop:\n  lambda: { sensor: lambda, authority: 12 % }   # the target is 0.80 at full load',
    remedy: 'Limit the loop by `manifold_pressure` or `speed`, or fit a sensor with a wider range.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration, engines } }): Generator<Found> {
    for (const engine of engines) {
      yield* lambdaBeyondSensor(engine, configuration);
      yield* exhaustBeyondSensor(engine.configuration, configuration);
    }
  },
});

/** The target of the lambda loop that is furthest outside the range of its sensor. */
function* lambdaBeyondSensor(engine: Engine, { sensors }: EngineConfiguration): Generator<Found> {
  const sensor = engine.configuration.closed_loop?.lambda?.sensor;
  const range = sensor && sensors?.[sensor.text]?.range;
  if (!range) return;
  const beyond = ({ lambda }: LambdaTarget) =>
    Math.max(range.low.canonical - lambda, lambda - range.high.canonical);
  const [first, ...others] = lambdaTargets(engine).filter((target) => beyond(target) > 0);
  if (!first) return;
  const worst = others.reduce((most, one) => (beyond(one) > beyond(most) ? one : most), first);
  const state = `${formatStated(worst.speed, 'rpm')}, ${formatStated(worst.pressure, 'kPa abs')}`;
  yield {
    at: sensor.node,
    message: `The lambda loop aims at lambda ${formatNumber(worst.lambda, 3)} at ${state}, but ${quote(sensor.text)} reads only ${range.node.text}.`,
    related: [
      { at: worst.node, message: 'The target.' },
      { at: range.node, message: 'The range of the sensor.' },
    ],
  };
}

function* exhaustBeyondSensor(
  engine: EngineConfiguration,
  { sensors }: EngineConfiguration,
): Generator<Found> {
  const target = highestExhaustTarget(engine);
  const measuring = (sensors && sensorsByQuantity(sensors).get('exhaust_gas_temperature')) ?? [];
  for (const [name, { maximum }] of measuring) {
    if (!target || !maximum || target.canonical <= maximum.canonical) continue;
    yield {
      at: target.node,
      message: `The exhaust temperature loop aims at ${target.text}, but ${quote(name)} reads only up to ${maximum.node.text}.`,
      related: [{ at: maximum.node, message: 'The maximum of the sensor.' }],
    };
    return;
  }
}
