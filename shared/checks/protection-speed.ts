import type { QuantityValue } from '../configuration/values.ts';
import { type Limit, limitsOf } from '../derived/protection.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { type Check, type EngineSubject, engineCheck } from './check.ts';
import { passes } from './threshold.ts';
import { percent, percentBeside } from './words.ts';

/** The limits on engine speed from above, and what they begin with. */
function overspeedLimits({ installation: { engines } }: EngineSubject) {
  return engines.flatMap(({ configuration }) => {
    const maximum = configuration.engine?.maximum_speed;
    const limits = limitsOf(configuration).filter(
      ({ watches, direction }) =>
        direction === 'above' && measuredQuantity(watches)?.entry.name === 'engine_speed',
    );
    return maximum ? [{ maximum, limits }] : [];
  });
}

const warningSpeed = ({ warning }: Limit): QuantityValue | undefined =>
  warning?.type === 'quantity' ? warning : undefined;

export const overspeedBelowMaximum: Check = engineCheck({
  id: 'overspeed-below-maximum',
  severity: 'warning',
  title: 'Overspeed warning inside the speeds that are allowed',
  page: {
    catches:
      'An overspeed warning below `engine.maximum_speed`. Where the protection has no overspeed limit at all, that is said as information.',
    why: 'Up to its maximum speed the engine may run. A warning below, the more so one that cuts, takes power from a pilot who does nothing wrong; a cut at rotation is an emergency made by a number.',
    example:
      'engine: { maximum_speed: 5800 rpm }\nprotection:\n  overspeed: { watches: engine_speed, above: { warning: 5500 rpm }, action: [fuel-cut] }',
    remedy:
      'Warn at or a little above the maximum speed and give the caution below it, or lower the maximum speed if the engine must not turn so fast.',
    basis: 'The meaning of the keys; that an engine has an overspeed limit is common practice, no source.',
  },
  *find(subject) {
    for (const { maximum, limits } of overspeedLimits(subject)) {
      const section = subject.installation.configuration.protection;
      if (limits.length === 0 && section) {
        yield {
          at: maximum.node,
          severity: 'information',
          message: `No limit watches that the engine stays below its maximum speed of ${maximum.node.text}.`,
        };
      }
      for (const limit of limits) {
        const warning = warningSpeed(limit);
        if (!warning || warning.canonical >= maximum.canonical) continue;
        yield {
          at: warning.node,
          message: `The warning of ${limit.name} at ${warning.node.text} comes below the maximum speed of ${maximum.node.text}.`,
          related: [{ at: maximum.node, message: 'Up to here the engine may run.' }],
          fixes: [
            {
              title: `Warn at the maximum speed, ${maximum.node.text}`,
              safety: 'choice',
              edits: [{ span: warning.node, text: maximum.node.text }],
            },
          ],
        };
      }
    }
  },
});

export const overspeedLate: Check = engineCheck({
  id: 'overspeed-late',
  severity: 'warning',
  title: 'Overspeed warning far above the maximum speed',
  page: {
    catches: 'An overspeed warning above `engine.maximum_speed` by more than the margin.',
    why: 'The stress in rods and propeller goes with the square of the speed. A warning that comes well after the maximum comes when the damage is done.',
    example:
      'engine: { maximum_speed: 5800 rpm }\nprotection:\n  overspeed: { watches: engine_speed, above: { warning: 6500 rpm } }',
    remedy: 'Bring the warning down to the maximum speed and a little.',
    basis: 'Inertia forces grow with the square of the speed; the margin is common practice, no source.',
  },
  settings: {
    margin: { kind: 'ratio', value: '5 %', meaning: 'How far above the maximum speed a warning may come.' },
  },
  *find(subject, { margin }) {
    for (const { maximum, limits } of overspeedLimits(subject)) {
      for (const limit of limits) {
        const warning = warningSpeed(limit);
        const over = warning ? warning.canonical / maximum.canonical - 1 : 0;
        if (!warning || !passes(over, margin)) continue;
        yield {
          at: warning.node,
          message: `The warning of ${limit.name} at ${warning.node.text} comes ${percentBeside(over, margin, 2)} above the maximum speed of ${maximum.node.text}; ${percent(margin)} is usual.`,
          related: [{ at: maximum.node, message: 'Up to here the engine may run.' }],
        };
      }
    }
  },
});
