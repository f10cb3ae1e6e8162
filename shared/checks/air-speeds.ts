import { type Check, engineCheck, type Found } from './check.ts';
import { passes } from './threshold.ts';
import { formatStated } from './words.ts';

export const speedsOutOfOrder: Check = engineCheck({
  id: 'speeds-out-of-order',
  severity: 'error',
  title: 'Engine speeds out of order',
  page: {
    catches:
      'An idle speed that is not below the rated speed (the maximum speed if no rated speed is stated), or a rated speed above the maximum speed.',
    why: 'The checks examine the range from idle to maximum speed. If the speeds are swapped, that range is empty or too small, and the rest of the engine’s operation is not checked.',
    example: 'engine: { idle_speed: 1400 rpm, rated_speed: 5800 rpm, maximum_speed: 5500 rpm }',
    remedy: 'Correct the wrong speed. The rated speed may equal the maximum speed but not exceed it.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { configuration } }) {
    const { idle_speed: idle, rated_speed: rated, maximum_speed: maximum } = configuration.engine ?? {};
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
  },
});

export const pointBeyondMaximumSpeed: Check = engineCheck({
  id: 'point-beyond-maximum-speed',
  severity: 'error',
  title: 'Operating point beyond maximum speed',
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
