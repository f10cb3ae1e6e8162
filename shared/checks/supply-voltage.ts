import type { EngineConfiguration } from '../../generated/configuration.ts';

/** The lowest nominal voltage (V) of a 28 V system; above it, thresholds for a 14 V system are doubled. */
const LARGE_SYSTEM = 20;

/** Two for a 28 V system, one for a 14 V system. */
export function voltageFactor({ harness }: Pick<EngineConfiguration, 'harness'>): number {
  const { nominal, minimum, maximum } = harness?.supply ?? {};
  const stated = nominal ?? maximum ?? minimum;
  return stated && stated.canonical >= LARGE_SYSTEM ? 2 : 1;
}
