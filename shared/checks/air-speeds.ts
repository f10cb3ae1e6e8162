import type { EngineConfiguration } from '../../generated/configuration.ts';
import { differingIn } from '../configuration/installation.ts';
import { replace } from '../source/edit.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { passes } from './threshold.ts';
import { formatQuantity, formatStated } from './words.ts';

export const speedsOutOfOrder: Check = engineCheck({
  id: 'speeds-out-of-order',
  severity: 'error',
  title: 'Engine speeds out of order',
  onStandby: true,
  page: {
    catches:
      'An idle speed that is not below the rated speed (the maximum speed if no rated speed is stated), or a rated speed above the maximum speed.',
    why: 'The checks examine the range from idle to maximum speed. If the speeds are swapped, that range is empty or too small, and the rest of the engine’s operation is not checked.',
    example: 'engine: { idle_speed: 1400 rpm, rated_speed: 5800 rpm, maximum_speed: 5500 rpm }',
    remedy: 'Correct the wrong speed. The rated speed may equal the maximum speed but not exceed it.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { engines } }): Generator<Found> {
    for (const { configuration } of differingIn(engines, 'engine')) yield* outOfOrder(configuration.engine);
  },
});

function* outOfOrder(engine: EngineConfiguration['engine']): Generator<Found> {
  const { idle_speed: idle, rated_speed: rated, maximum_speed: maximum } = engine ?? {};
  const [top, which] = rated ? [rated, 'rated'] : [maximum, 'maximum'];
  if (idle && top && idle.canonical >= top.canonical) {
    yield {
      at: idle.node,
      message: `The idle speed of ${idle.node.text} is not below the ${which} speed of ${top.node.text}.`,
      related: [{ at: top.node, message: `The ${which} speed.` }],
    };
  }
  if (rated && maximum && passes(rated.canonical, maximum.canonical)) {
    yield {
      at: rated.node,
      message: `The rated speed of ${rated.node.text} is above the maximum speed of ${maximum.node.text}.`,
      related: [{ at: maximum.node, message: 'The maximum speed.' }],
    };
  }
}

export const pointBeyondMaximumSpeed: Check = engineCheck({
  id: 'point-beyond-maximum-speed',
  severity: 'error',
  title: 'Operating point beyond maximum speed',
  onStandby: true,
  page: {
    catches: 'An operating point with a speed above the `engine.maximum_speed` of its map set.',
    why: 'The engine must not run there, because rods and valves are not built for it. The checks of injectors, dwell and pistons examine speeds up to the maximum speed only.',
    example:
      'engine:\n  maximum_speed: 5800 rpm\noperating_points:\n  dive: { speed: 6200 rpm, throttle: 0 %, pressure_altitude: 3000 ft }',
    remedy: 'Correct the speed of the operating point, or the maximum speed if the engine is built for more.',
    basis: 'The file contradicts itself.',
  },
  *find({ derivation }): Generator<Found> {
    for (const { name, conditions, configuration, node } of derivation.points) {
      const { speed } = conditions;
      const maximum = configuration.engine?.maximum_speed;
      if (!maximum || !passes(speed.canonical, maximum.canonical)) continue;
      yield {
        at: speed.node ?? node,
        message: `\`${name}\` is at ${formatStated(speed.canonical, 'rpm')}, above the engine’s maximum speed of ${maximum.node.text}.`,
        related: [{ at: maximum.node, message: 'The maximum speed.' }],
      };
    }
  },
});

export const pointAtPropellerSpeed: Check = engineCheck({
  id: 'point-at-propeller-speed',
  severity: 'warning',
  title: 'Propeller speed given as engine speed',
  page: {
    catches:
      'An operating point of a geared engine whose speed is probably that of the propeller: it is below idle, or far below rated speed at an open throttle, and multiplied by the reduction ratio it is within the engine’s range.',
    why: 'The speed of an operating point is that of the crank. At propeller speed every air flow, fuel flow and pulse of the point is too small, so its limits seem to hold.',
    example:
      'engine: { rated_speed: 5400 rpm, reduction_ratio: 2.35, ... }\noperating_points:\n  take_off: { speed: 2300 rpm, throttle: 100 %, pressure_altitude: 0 ft }',
    remedy:
      'Write the crank speed. If the engine really runs at full throttle and low speed there, accept the finding with that reason.',
    basis:
      'The power that a propeller absorbs is proportional to the cube of its speed. The thresholds are common practice, no source.',
  },
  settings: {
    throttle: {
      kind: 'ratio',
      value: '55 %',
      meaning: 'Throttle opening above which the engine should run near rated speed.',
    },
    share: {
      kind: 'ratio',
      value: '60 %',
      meaning: 'Lowest usual speed at such a throttle, relative to rated speed.',
    },
  },
  *find({ derivation }, { throttle: open, share }): Generator<Found> {
    for (const { name, conditions, configuration, node } of derivation.points) {
      const {
        idle_speed: idle,
        rated_speed,
        maximum_speed: maximum,
        reduction_ratio: short,
      } = configuration.engine ?? {};
      const ratio = configuration.gearbox?.ratio ?? short;
      const rated = rated_speed ?? maximum;
      const { speed, throttle } = conditions;
      if (!rated || !maximum || !ratio || ratio.canonical < LEAST_RATIO) continue;
      const crank = speed.canonical * ratio.canonical;
      const isSlow =
        throttle !== undefined &&
        throttle.canonical >= open &&
        passes(share * rated.canonical, speed.canonical);
      const isOpen = throttle !== undefined && throttle.canonical >= BEYOND_IDLE;
      const isBelowIdle =
        idle !== undefined && passes(idle.canonical * (isOpen ? 1 : CLEARLY_BELOW), speed.canonical);
      const fits = isSlow
        ? passes(crank, share * rated.canonical)
        : isBelowIdle && crank >= idle.canonical * CLEARLY_BELOW;
      if (!fits || passes(crank, maximum.canonical)) continue;
      const text = formatQuantity(Math.round(crank / 10) * 10, 'rpm', 4);
      const why = isSlow
        ? ` and ${formatStated(throttle.canonical, '%')} throttle, far below the rated ${rated.node.text}`
        : `, below the idle speed of ${idle!.node.text}`;
      yield {
        at: speed.node ?? node,
        message: `\`${name}\` is at ${formatStated(speed.canonical, 'rpm')}${why}. If that is the speed of the propeller, the engine turns at ${text}.`,
        related: [{ at: ratio.node, message: 'The reduction ratio.' }],
        fixes: speed.node
          ? [
              {
                title: `Change to ${text}, the crank speed at this propeller speed`,
                safety: 'choice',
                edits: [replace(speed.node, text)],
              },
            ]
          : [],
      };
    }
  },
});

/** With a smaller reduction the two speeds are too close to tell apart. */
const LEAST_RATIO = 1.3;

/** How far below idle a speed must be, to allow for a slow idle point. */
const CLEARLY_BELOW = 0.9;

/** From this throttle opening an engine runs faster than at idle. Common practice, no source. */
const BEYOND_IDLE = 0.2;
