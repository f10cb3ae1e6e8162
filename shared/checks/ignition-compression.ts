import { highestBoostTarget } from '../derived/boost-target.ts';
import { SEA_LEVEL } from '../derived/full-load.ts';
import { type Check, engineCheck } from './check.ts';
import { ALCOHOLS } from './dense-charge.ts';
import { placesBehind } from './follows.ts';
import { passes } from './threshold.ts';
import { formatNumber, formatQuantity, numberBeside } from './words.ts';

export const compressionHighForBoost: Check = engineCheck({
  id: 'compression-high-for-boost',
  severity: 'warning',
  title: 'Compression ratio too high for boost',
  page: {
    catches:
      'A boosted engine whose compression ratio, multiplied by the square root of the highest boost target over ambient pressure, exceeds what is usual on gasoline. Engines on alcohol (`e85`, `ethanol`, `methanol`) are not checked.',
    why: 'Boost adds to the compression in the cylinder. With the pistons of an engine without boost the charge detonates at full load, however late the spark is. Usually the ratio is that of another version of the engine.',
    example:
      'engine: { compression_ratio: 10.5, ... }\nboost:\n  target: { ... }   # up to 147 kPa abs: equivalent to 12.6 without boost',
    remedy:
      'Correct the compression ratio, or lower the boost. If the engine demonstrably tolerates it, raise the limit and give that as the reason.',
    basis: 'A rule of thumb for gasoline engines: common practice, no source.',
  },
  settings: {
    highest: {
      kind: 'number',
      value: '12',
      meaning: 'Highest usual compression ratio on gasoline, with boost counted in.',
    },
  },
  *find({ installation: { configuration }, derivation }, { highest }) {
    const { engine, fuel } = configuration;
    const ratio = engine?.compression_ratio;
    const target = derivation.one(highestBoostTarget);
    if (!ratio || !target || ALCOHOLS.has(fuel?.grade?.text ?? '')) return;
    const effective = ratio.canonical * Math.sqrt(target.canonical / SEA_LEVEL);
    if (target.canonical <= SEA_LEVEL || !passes(effective, highest)) return;
    yield {
      at: ratio.node,
      message: `With a boost target of ${formatQuantity(target.canonical, 'kPa abs', 3)}, a compression ratio of ${ratio.node.text} is equivalent to ${numberBeside(effective, highest)} without boost; at most ${formatNumber(highest, 3)} is usual on gasoline.`,
      related: [{ at: target.node, message: 'The highest boost target.' }],
      follows: placesBehind(target),
    };
  },
});
