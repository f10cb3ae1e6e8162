import { differingIn, type Engine } from '../configuration/installation.ts';
import { absoluteAtSeaLevel } from '../derived/boost-target.ts';
import type { StateConfiguration } from '../derived/core-engine.ts';
import { injectorDuty, injectorDutyAtFaultPressure, injectorPulseWidth, railDrop } from '../derived/fuel.ts';
import type { Region } from '../proof/proof.ts';
import type { Node } from '../source/tree.ts';
import { excessFinding, excessOf } from './beyond.ts';
import { boundCheck, type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { voltageFactor } from './supply-voltage.ts';
import { formatQuantity, formatStated, percent, percentBeside } from './words.ts';

/** The maximum duty of a map set: as the file states it or, without that, the threshold. */
const dutyLimit =
  (threshold: number) =>
  ({ fuel }: StateConfiguration): number =>
    fuel?.injectors?.maximum_duty?.canonical ?? threshold;

/** The operating points at which a rail at `pressure` is not above manifold pressure, so that no duty is enough. */
function withoutFlow({ derivation }: EngineSubject, which: 'pressure' | 'fault_pressure'): Found[] {
  const starved = derivation.points.flatMap((point) => {
    const { rail, injectors } = point.configuration.fuel ?? {};
    const pressure = injectors?.static_flow && rail?.[which];
    const drop = pressure && railDrop(point, pressure);
    return drop && drop.canonical <= 0 ? [{ point, pressure, drop }] : [];
  });
  return starved.slice(0, 1).map(({ point, pressure, drop }) => {
    const state = which === 'pressure' ? '' : ' with the rail at its fault pressure';
    const missing = formatQuantity(Math.abs(drop.canonical), 'kPa');
    const { at, severity, message } = noFlow(
      pressure.node,
      `at \`${point.name}\`${state}`,
      `${missing} below`,
    );
    return { at, severity, message: `${message}.` };
  });
}

const noFlow = (at: Node, where: string, relation: string) => ({
  ...{ at, severity: 'error' as const },
  message: `No fuel flows ${where}, because fuel pressure is ${relation} manifold pressure`,
});

const maximumDuty = {
  kind: 'ratio',
  value: '85 %',
  meaning:
    'Highest duty that leaves an injector time to close. Applies if the file states no `maximum_duty`.',
} as const;

export const injectorDutyOver100: Check = boundCheck({
  id: 'injector-duty-over-100',
  severity: 'error',
  title: 'Injector duty over 100 %',
  page: {
    catches:
      'An operating point, or any other state in the envelope, at which an injector would have to stay open longer than a cycle lasts.',
    why: 'An injector that never closes delivers its maximum. Any fuel demanded beyond that is missing from the mixture, at the highest load, where a lean mixture melts pistons.',
    example: 'fuel:\n  injectors:\n    static_flow: 190 cc/min   # needs 112 % at take_off',
    remedy:
      'Fit larger injectors, raise the rail pressure, or lower the boost target or the speed at which it happens.',
    basis: 'Arithmetic: duty is pulse width divided by cycle time. See SAE J1832 for the terms.',
  },
  *find(subject, proof) {
    const starved = withoutFlow(subject, 'pressure');
    if (starved.length > 0) return yield* starved;
    const duty = yield* excessOf(subject, proof, { value: injectorDuty, side: 'high', limitOf: () => 1 });
    yield* excessFinding(subject, duty, ({ fuel: { injectors, rail } = {} }, { reached, where }) => {
      const flow = injectors?.static_flow;
      if (!flow) return undefined;
      const name = 'highest_duty';
      if (!Number.isFinite(reached))
        return { ...noFlow(rail?.pressure?.node ?? flow.node, where, 'not above'), name };
      return {
        ...{ at: flow.node, name, verb: 'needs' },
        message: `The injectors need ${percentBeside(reached, 1)} duty ${where}, so they never close and the engine runs lean`,
      };
    });
  },
});

export const injectorDutyHigh: Check = boundCheck({
  id: 'injector-duty-high',
  severity: 'warning',
  title: 'Injector duty over its limit',
  page: {
    catches:
      'An operating point, or any other state in the envelope, with an injector duty above `fuel.injectors.maximum_duty` or, without one, above the threshold. It is an error if an operating point exceeds the limit that the file itself states, and information if the search neither proves the limit nor finds a state beyond it.',
    why: 'Near full duty an injector neither opens nor closes cleanly, and no margin is left for a cold day, a weak pump or the closed loop.',
    example:
      'fuel:\n  injectors:\n    static_flow: 240 cc/min   # 89 % at take_off, and maximum_duty is 85 %',
    remedy:
      'Fit larger injectors or raise the rail pressure. If the injector maker allows more duty, state that as `maximum_duty`.',
    basis: 'Common practice, no source.',
  },
  settings: { maximum: maximumDuty },
  *find(subject, proof, { maximum }) {
    const question = { value: injectorDuty, side: 'high', limitOf: dutyLimit(maximum) } as const;
    const duty = yield* excessOf(subject, proof, question);
    yield* excessFinding(subject, duty, ({ fuel }, { reached, limit, where, atPoint }) => {
      const flow = fuel?.injectors?.static_flow;
      // Another check reports a duty over 100 %.
      if (!flow || reached > 1) return undefined;
      const isStated = atPoint?.point.configuration.fuel?.injectors?.maximum_duty !== undefined;
      return {
        ...{ at: flow.node, label: 'injector duty', name: 'highest_duty', verb: 'needs' },
        severity: isStated ? 'error' : 'warning',
        message: `Injector duty reaches ${percentBeside(reached, limit)} ${where}, above the limit of ${percent(limit)}`,
      };
    });
  },
});

export const injectorDutyAtFault: Check = boundCheck({
  id: 'injector-duty-at-fault-pressure',
  severity: 'warning',
  title: 'Injector duty high at fault pressure',
  page: {
    catches:
      'An operating point, or any other state in the envelope, at which the injectors need more than their permitted duty with the rail at `fault_pressure`. Above 100 % it is an error.',
    why: 'The controller compensates for falling fuel pressure with longer pulses. Without a duty margin, a failing pump causes a lean mixture at full load.',
    example: 'fuel:\n  rail: { pressure: 3.0 bar, fault_pressure: 1.2 bar }',
    remedy:
      'Fit larger injectors, or set a higher fault pressure together with a limit that reduces the load earlier.',
    basis: 'Common practice, no source. The flow follows the orifice equation.',
  },
  settings: { maximum: maximumDuty },
  *find(subject, proof, { maximum }) {
    const starved = withoutFlow(subject, 'fault_pressure');
    if (starved.length > 0) return yield* starved;
    const duty = yield* excessOf(subject, proof, {
      ...{ value: injectorDuty, atPoints: injectorDutyAtFaultPressure },
      ...{ side: 'high', fault: 'fault_pressure', limitOf: dutyLimit(maximum) },
    });
    yield* excessFinding(subject, duty, ({ fuel }, { reached, limit, where }) => {
      const pressure = fuel?.rail?.fault_pressure;
      if (!pressure) return undefined;
      const words = { label: 'injector duty at fault pressure', name: 'highest_duty_at_fault_pressure' };
      if (!Number.isFinite(reached)) {
        const state = `${where} with the rail at its fault pressure`;
        return { ...noFlow(pressure.node, state, 'not above'), ...words };
      }
      return {
        ...{ at: pressure.node, ...words, verb: 'needs' },
        severity: reached > 1 ? 'error' : 'warning',
        message: `With the rail at its fault pressure the injectors need ${percentBeside(reached, limit)} duty ${where}, above the limit of ${percent(limit)}`,
      };
    });
  },
});

export const injectorBelowMinimumPulse: Check = boundCheck({
  id: 'injector-below-minimum-pulse',
  severity: 'warning',
  title: 'Injector pulse below its minimum',
  page: {
    catches:
      'An operating point, or any other state in the envelope, with an injector pulse shorter than `fuel.injectors.minimum_pulse`. States in which `fuel.overrun_cut` certainly cuts the fuel are left out: above its speed and below its manifold pressure.',
    why: 'Below its minimum pulse an injector no longer delivers fuel in proportion to time, so the mixture varies from cylinder to cylinder, at idle and when the throttle closes.',
    example: 'fuel:\n  injectors: { static_flow: 1200 cc/min, minimum_pulse: 1.6 ms }',
    remedy:
      'Fit smaller injectors, inject once per cycle instead of twice, or cut the fuel on overrun. If the manifold pressure never falls that low, state the lowest one as `envelope.manifold_pressure`.',
    basis: 'SAE J1832 (linear range of an injector). The limit itself comes from the injector maker.',
  },
  *find(subject, proof) {
    const pulse = yield* excessOf(subject, proof, {
      ...{ value: injectorPulseWidth, side: 'low', regionsOf: injecting },
      limitOf: ({ fuel }) => fuel?.injectors?.minimum_pulse?.canonical,
    });
    yield* excessFinding(subject, pulse, ({ fuel }, { reached, limit, where }) => {
      const minimum = fuel?.injectors?.minimum_pulse;
      return (
        minimum && {
          ...{ at: minimum.node, label: 'the injector pulse', name: 'shortest_pulse', verb: 'gives' },
          message: `The injector pulse falls to ${formatQuantity(reached, 'ms')} ${where}, below the minimum of ${formatStated(limit, 'ms')}`,
        }
      );
    });
  },
});

/** The states in which fuel may be injected: at or below the speed of the overrun cut, or at or above its pressure. */
function injecting({ fuel }: StateConfiguration): Region[] {
  const { above, below } = fuel?.overrun_cut ?? {};
  if (!above || !below) return [{}];
  return [
    { speed: { low: Number.NEGATIVE_INFINITY, high: above.canonical } },
    {
      speed: { low: above.canonical, high: Number.POSITIVE_INFINITY },
      lowestPressure: absoluteAtSeaLevel(below.quantity),
    },
  ];
}

export const injectorDeadTimeMissingVoltage: Check = engineCheck({
  id: 'injector-dead-time-missing-voltage',
  severity: 'warning',
  title: 'Dead-time curve too short',
  page: {
    catches:
      'A dead-time curve that does not span the voltages from cranking to charging. In a 28 V system it must span the supply that the harness states, or twice the thresholds.',
    why: 'Beyond its ends a curve holds its edge value. The dead time at cranking voltage is several times that at charging voltage, so the engine would start lean or not at all.',
    example:
      'fuel:\n  injectors:\n    dead_time:\n      x: { quantity: battery_voltage, unit: V, breakpoints: [12, 14] }',
    remedy:
      'Add breakpoints with the injector maker’s values, down to the cranking voltage and up to the charging voltage.',
    basis: 'Common practice, no source.',
  },
  settings: {
    cranking: { kind: 'voltage', value: '8 V', meaning: 'Supply voltage during cranking, in a 12 V system.' },
    charging: {
      kind: 'voltage',
      value: '15 V',
      meaning: 'Highest supply voltage in normal charging, in a 12 V system.',
    },
  },
  *find({ installation }, settings): Generator<Found> {
    for (const { configuration } of differingIn(installation.engines, 'fuel'))
      yield* shortDeadTime(configuration, settings);
  },
});

function* shortDeadTime(
  configuration: Engine['configuration'],
  { cranking, charging }: Readonly<Record<'cranking' | 'charging', number>>,
): Generator<Found> {
  const axis = configuration.fuel?.injectors?.dead_time?.x;
  const factor = voltageFactor(configuration);
  const supply = configuration.harness?.supply;
  // A 28 V supply is held up during cranking by what the harness states as its minimum.
  const lowest = (factor > 1 ? supply?.minimum?.canonical : undefined) ?? cranking * factor;
  const highest = (factor > 1 ? supply?.maximum?.canonical : undefined) ?? charging * factor;
  const [first, last] = [axis?.breakpoints[0], axis?.breakpoints.at(-1)];
  // Another check reports a curve over another quantity.
  if (axis?.quantity !== 'battery_voltage' || first === undefined || last === undefined) return;
  // If the breakpoints are out of order, the first is not the lowest; `breakpoints-not-rising` reports that.
  if (first > last) return;
  const missing = [
    first > lowest
      ? `starts at ${formatStated(first, 'V')}, above the cranking voltage of ${formatStated(lowest, 'V')}`
      : '',
    last < highest
      ? `ends at ${formatStated(last, 'V')}, below the charging voltage of ${formatStated(highest, 'V')}`
      : '',
  ].filter(Boolean);
  if (missing.length === 0) return;
  yield {
    at: axis.node.get('breakpoints') ?? axis.node,
    message: `The dead-time curve ${missing.join(', and ')}.`,
  };
}
