import { stepBetween, stepText } from '../shared/compare/step.ts';
import { sensitivitiesOf } from '../shared/derived/sensitivity.ts';
import type { DerivedValue } from '../shared/derived/value.ts';
import { formatNumber } from '../shared/quantity/index.ts';

/** One of the numbers that move a value most. */
export interface Mover {
  /** Its key path. */
  readonly at: string;
  /** `−0.93 % per 1 %` */
  readonly text: string;
}

/** The numbers that move a value most, the largest effect first. Those with an effect below 0.01 % are left out. */
export function moversOf(value: DerivedValue, most = MOST): Mover[] {
  return sensitivitiesOf(value)
    .filter(({ percentPerPercent }) => Math.abs(percentPerPercent) >= LEAST)
    .slice(0, most)
    .map(({ at, percentPerPercent, per }) => ({
      at,
      text: `${effectText(value, percentPerPercent)} per ${per}`,
    }));
}

const MOST = 3;
const LEAST = 0.01;

/** `−0.93 %`; `+0.31 K` for a value whose zero is arbitrary. */
function effectText({ canonical, show }: DerivedValue, percent: number): string {
  const { ratio, unit } = stepBetween(1, 2, show);
  if (ratio === undefined) return stepText((canonical * percent) / 100, unit);
  return `${percent < 0 ? '−' : '+'}${formatNumber(Math.abs(percent), 2)} %`;
}

/**
 * `Most sensitive to fuel.injectors.static_flow (−0.93 % per 1 %), …`; undefined if nothing is known to move it. `name`
 * prints a key path.
 */
export function moversText(
  movers: readonly Mover[],
  name: (at: string) => string = (at) => at,
): string | undefined {
  if (movers.length === 0) return undefined;
  return `Most sensitive to ${movers.map(({ at, text }) => `${name(at)} (${text})`).join(', ')}`;
}
