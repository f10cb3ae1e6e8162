import { type Check, engineCheck, type Found } from './check.ts';
import { passes } from './threshold.ts';
import { formatQuantity } from './words.ts';

export const speedsOutOfOrder: Check = engineCheck({
  id: 'speeds-out-of-order',
  severity: 'error',
  title: 'Idle, rated and maximum speed out of order',
  page: {
    catches: 'An idle speed that is not below the rated speed, or a rated speed above the maximum speed.',
    why: 'Every envelope is drawn from idle to the maximum speed. Where they are exchanged it is empty or too small, and what the engine really does there is checked by nothing.',
    example: 'engine: { idle_speed: 1400 rpm, rated_speed: 5800 rpm, maximum_speed: 5500 rpm }',
    remedy:
      'Correct the one that is a slip. The engine may run at its maximum speed; it is rated there or below.',
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
  title: 'Operating point beyond the maximum speed',
  page: {
    catches: 'An operating point at a crank speed above `engine.maximum_speed`, as its map set has it.',
    why: 'The engine is not to run there at all: rods and valves were not made for it, and the worst cases of injectors, dwell and pistons are looked for up to the maximum speed only.',
    example:
      'engine:\n  maximum_speed: 5800 rpm\noperating_points:\n  dive: { speed: 6200 rpm, throttle: 0 %, pressure_altitude: 3000 ft }',
    remedy: 'Correct the speed of the point, or the maximum speed where the engine is made for more.',
    basis: 'The file contradicts itself.',
  },
  *find({ derivation }): Generator<Found> {
    for (const { name, conditions, configuration, node } of derivation.points) {
      const { speed } = conditions;
      const maximum = configuration.engine?.maximum_speed;
      if (!maximum || !passes(speed.canonical, maximum.canonical)) continue;
      yield {
        at: speed.node ?? node,
        message: `${name} runs at ${formatQuantity(speed.canonical, 'rpm')}; the engine runs up to ${maximum.node.text}.`,
        related: [{ at: maximum.node, message: 'The maximum speed.' }],
      };
    }
  },
});
