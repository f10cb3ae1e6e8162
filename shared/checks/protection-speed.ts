import type { QuantityValue } from '../configuration/values.ts';
import { type Limit, limitsOf } from '../derived/protection.ts';
import { measuredQuantity } from '../quantity/index.ts';
import { type Check, type EngineSubject, engineCheck } from './check.ts';
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import { percent, percentBeside } from './words.ts';

/** The upper limits on engine speed, with the maximum speed of the engine. */
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
  title: 'Overspeed warning below maximum speed',
  page: {
    catches:
      'An overspeed warning below `engine.maximum_speed`. A protection section without any overspeed limit is reported as information.',
    why: 'The engine may run up to its maximum speed. A warning below it alarms a pilot who is doing nothing wrong, and a cut at that speed takes the power away during take-off.',
    example:
      'engine: { maximum_speed: 5800 rpm }\nprotection:\n  overspeed: { watches: engine_speed, above: { warning: 5500 rpm }, action: [fuel-cut] }',
    remedy:
      'Set the warning at or a little above the maximum speed and the caution below it, or lower the maximum speed if the engine must not turn so fast.',
    basis: 'The meaning of the keys. That an engine has an overspeed limit is common practice, no source.',
  },
  *find(subject) {
    for (const { maximum, limits } of overspeedLimits(subject)) {
      const section = subject.installation.configuration.protection;
      if (limits.length === 0 && section) {
        yield {
          at: maximum.node,
          severity: 'information',
          message: `No limit watches the maximum speed of ${maximum.node.text}.`,
        };
      }
      for (const limit of limits) {
        const warning = warningSpeed(limit);
        if (!warning || warning.canonical >= maximum.canonical) continue;
        yield {
          at: warning.node,
          message: `The warning of ${quote(limit.name)} at ${warning.node.text} is below the maximum speed of ${maximum.node.text}.`,
          related: [{ at: maximum.node, message: 'The maximum speed.' }],
          fixes: [
            {
              title: `Lower the maximum speed to ${warning.node.text}, where the warning comes on`,
              safety: 'choice',
              edits: [{ span: maximum.node, text: warning.node.text }],
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
  title: 'Overspeed warning too high',
  page: {
    catches: 'An overspeed warning above `engine.maximum_speed` by more than the threshold.',
    why: 'The stress in connecting rods and propeller grows with the square of the speed. A warning far above the maximum speed comes after the damage.',
    example:
      'engine: { maximum_speed: 5800 rpm }\nprotection:\n  overspeed: { watches: engine_speed, above: { warning: 6500 rpm } }',
    remedy: 'Lower the warning to the maximum speed or a little above it.',
    basis: 'Inertia forces grow with the square of the speed. The margin is common practice, no source.',
  },
  settings: {
    margin: { kind: 'ratio', value: '5 %', meaning: 'How far above the maximum speed the warning may be.' },
  },
  *find(subject, { margin }) {
    for (const { maximum, limits } of overspeedLimits(subject)) {
      for (const limit of limits) {
        const warning = warningSpeed(limit);
        const over = warning ? warning.canonical / maximum.canonical - 1 : 0;
        if (!warning || !passes(over, margin)) continue;
        yield {
          at: warning.node,
          message: `The warning of ${quote(limit.name)} at ${warning.node.text} is ${percentBeside(over, margin, 2)} above the maximum speed of ${maximum.node.text}; the limit is ${percent(margin)}.`,
          related: [{ at: maximum.node, message: 'The maximum speed.' }],
        };
      }
    }
  },
});
