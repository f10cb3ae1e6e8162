import { heldAt } from '../derived/cell.ts';
import { injectorDuty, injectorDutyAtFaultPressure, injectorPulseWidth, railDrop } from '../derived/fuel.ts';
import { reachedPressures } from '../derived/full-load.ts';
import type { OperatingPoint, PointValue } from '../derived/operating-point.ts';
import { extremeOver } from '../derived/over-points.ts';
import { type DerivedValue, valueText } from '../derived/value.ts';
import {
  cellWithoutFlow,
  worstInjectorDuty,
  worstInjectorDutyAtFaultPressure,
} from '../derived/worst-case.ts';
import { formatQuantity } from '../quantity/index.ts';
import { type Check, type EngineSubject, engineCheck, type Found, type Related } from './check.ts';
import { dutyLimit } from './duty-limit.ts';
import { formatStated, percent, percentBeside } from './words.ts';

/** The highest value of an injector: at an operating point or, if that is higher, in a reachable map cell. */
interface Busiest {
  readonly value: DerivedValue;
  readonly where: string;
  readonly point: OperatingPoint | undefined;
}

function busiest(
  subject: EngineSubject,
  value: PointValue,
  worst: DerivedValue | undefined,
): Busiest | undefined {
  const most = extremeOver(subject.derivation.points, value);
  const atPoint = most && most.value.canonical > 0 ? most : undefined;
  if (worst && worst.canonical > (atPoint?.value.canonical ?? 0)) {
    return { value: worst, where: worst.note ?? '', point: undefined };
  }
  return atPoint && { ...atPoint, where: `at \`${atPoint.point.name}\`` };
}

const relatedTo = ({ value, point }: Busiest): Related[] =>
  point ? [{ at: point.node, message: `${value.label}: ${value.substituted}` }] : [];

/** Where a rail at `pressure` is not above manifold pressure, so that no duty is enough: at a point, or in a map cell. */
function withoutFlow(
  { derivation, installation }: EngineSubject,
  which: 'pressure' | 'fault_pressure',
): Found[] {
  const { rail, injectors } = installation.configuration.fuel ?? {};
  const pressure = rail?.[which];
  if (!pressure || !injectors?.static_flow) return [];
  const starved = derivation.points.flatMap((point) => {
    const drop = railDrop(point, pressure);
    return drop && drop.canonical <= 0 ? [{ drop, where: `at \`${point.name}\`` }] : [];
  });
  const found = starved[0] ?? cellWithoutFlow(derivation, pressure);
  if (!found) return [];
  const state = which === 'pressure' ? '' : ' with the rail at its fault pressure';
  const drop = formatQuantity(Math.abs(found.drop.canonical), 'kPa');
  const message = `No fuel flows ${found.where}${state}, because fuel pressure is ${drop} below manifold pressure.`;
  return [{ at: pressure.node, severity: 'error', message }];
}

const maximumDuty = {
  kind: 'ratio',
  value: '85 %',
  meaning:
    'Highest duty that leaves an injector time to close. Applies if the file states no `maximum_duty`.',
} as const;

export const injectorDutyOver100: Check = engineCheck({
  id: 'injector-duty-over-100',
  severity: 'error',
  title: 'Injector duty over 100 %',
  page: {
    catches:
      'An operating point, or a reachable map cell, at which an injector would have to stay open longer than a cycle lasts, or no fuel flows because fuel pressure is not above manifold pressure.',
    why: 'An injector that never closes delivers its maximum. Any fuel demanded beyond that is missing from the mixture, at the highest load, where a lean mixture melts pistons.',
    example: 'fuel:\n  injectors:\n    static_flow: 190 cc/min   # needs 112 % at take_off',
    remedy:
      'Fit larger injectors, raise the rail pressure, or lower the boost target or the speed at which it happens.',
    basis: 'Arithmetic: duty is pulse width divided by cycle time. See SAE J1832 for the terms.',
  },
  *find(subject) {
    const starved = withoutFlow(subject, 'pressure');
    if (starved.length > 0) return yield* starved;
    const most = busiest(subject, injectorDuty, subject.derivation.one(worstInjectorDuty));
    const flow = subject.installation.configuration.fuel?.injectors?.static_flow;
    if (!most || !flow || most.value.canonical <= 1) return;
    yield {
      at: flow.node,
      message: `The injectors need ${percent(most.value.canonical)} duty ${most.where}, so they never close and the engine runs lean.`,
      related: relatedTo(most),
    };
  },
});

export const injectorDutyHigh: Check = engineCheck({
  id: 'injector-duty-high',
  severity: 'warning',
  title: 'Injector duty over its limit',
  page: {
    catches:
      'An operating point, or a reachable map cell, with an injector duty above `fuel.injectors.maximum_duty` or, without one, above the threshold. It is an error if an operating point exceeds the limit that the file itself states.',
    why: 'Near full duty an injector neither opens nor closes cleanly, and no margin is left for a cold day, a weak pump or the closed loop.',
    example:
      'fuel:\n  injectors:\n    static_flow: 240 cc/min   # 89 % at take_off, and maximum_duty is 85 %',
    remedy:
      'Fit larger injectors or raise the rail pressure. If the injector maker allows more duty, state that as `maximum_duty`.',
    basis: 'Common practice, no source.',
  },
  settings: { maximum: maximumDuty },
  *find(subject, { maximum }) {
    const most = busiest(subject, injectorDuty, subject.derivation.one(worstInjectorDuty));
    const injectors = subject.installation.configuration.fuel?.injectors;
    const limit = dutyLimit(subject, maximum);
    if (!most || !injectors?.static_flow || most.value.canonical <= limit || most.value.canonical > 1) return;
    const stated = injectors.maximum_duty !== undefined && most.point !== undefined;
    yield {
      at: injectors.static_flow.node,
      severity: stated ? 'error' : 'warning',
      message: `Injector duty reaches ${percentBeside(most.value.canonical, limit)} ${most.where}, above the limit of ${percent(limit)}.`,
      related: relatedTo(most),
    };
  },
});

const AT_FAULT_PRESSURE = ', with the rail at its fault pressure';

export const injectorDutyAtFault: Check = engineCheck({
  id: 'injector-duty-at-fault-pressure',
  severity: 'warning',
  title: 'Injector duty high at fault pressure',
  page: {
    catches:
      'An operating point, or a reachable map cell, at which the injectors need more than their permitted duty with the rail at `fault_pressure`. Above 100 %, or without any flow, it is an error.',
    why: 'The controller compensates for falling fuel pressure with longer pulses. Without a margin of duty, a failing pump causes a lean mixture at full load.',
    example: 'fuel:\n  rail: { pressure: 3.0 bar, fault_pressure: 1.2 bar }',
    remedy:
      'Fit larger injectors, or set a higher fault pressure together with a limit that reduces the load earlier.',
    basis: 'Common practice, no source. The flow follows the orifice equation.',
  },
  settings: { maximum: maximumDuty },
  *find(subject, { maximum }) {
    const starved = withoutFlow(subject, 'fault_pressure');
    if (starved.length > 0) return yield* starved;
    const worst = subject.derivation.one(worstInjectorDutyAtFaultPressure);
    const most = busiest(subject, injectorDutyAtFaultPressure, worst);
    const fault = subject.installation.configuration.fuel?.rail?.fault_pressure;
    const limit = dutyLimit(subject, maximum);
    if (!most || !fault || most.value.canonical <= limit) return;
    yield {
      at: fault.node,
      severity: most.value.canonical > 1 ? 'error' : 'warning',
      message: `The injectors need ${percentBeside(most.value.canonical, limit)} duty ${most.where}${most.point ? AT_FAULT_PRESSURE : ''}; the limit is ${percent(limit)}.`,
      related: relatedTo(most),
    };
  },
});

export const injectorBelowMinimumPulse: Check = engineCheck({
  id: 'injector-below-minimum-pulse',
  severity: 'warning',
  title: 'Injector pulse below its minimum',
  page: {
    catches:
      'A pulse at idle speed shorter than `fuel.injectors.minimum_pulse`. The check examines the pressures of the volumetric efficiency map outside the overrun cut.',
    why: 'Below its minimum pulse an injector no longer delivers fuel in proportion to time, so the idle mixture varies from cylinder to cylinder.',
    example: 'fuel:\n  injectors: { static_flow: 1200 cc/min, minimum_pulse: 1.6 ms }',
    remedy:
      'Fit smaller injectors, inject once per cycle instead of twice, or raise the idle speed and load.',
    basis: 'SAE J1832 (linear range of an injector). The limit itself comes from the injector maker.',
  },
  *find(subject) {
    const { configuration, engines } = subject.installation;
    const minimum = configuration.fuel?.injectors?.minimum_pulse;
    const idle = configuration.engine?.idle_speed;
    if (!minimum || !idle) return;
    // The overrun cut usually ends well above idle speed, and then every pressure counts.
    const cut = configuration.fuel?.overrun_cut;
    const cutBelow = (idle.canonical > (cut?.resume_at?.canonical ?? Infinity) && cut?.below?.canonical) || 0;
    let shortest: { value: DerivedValue; pressure: number } | undefined;
    for (const engine of engines) {
      for (const pressure of reachedPressures(engine, idle.canonical)) {
        if (pressure < cutBelow) continue;
        const value = heldAt(engine, minimum.node, idle, { canonical: pressure }).get(injectorPulseWidth);
        if (value && value.canonical < (shortest?.value.canonical ?? Infinity))
          shortest = { value, pressure };
      }
    }
    if (!shortest || shortest.value.canonical >= minimum.canonical) return;
    const where = `at idle and ${formatStated(shortest.pressure, 'kPa abs')}`;
    yield {
      at: minimum.node,
      message: `The pulse is ${valueText(shortest.value)} ${where}, below the injector’s minimum of ${formatStated(minimum.canonical, 'ms')}.`,
    };
  },
});

export const injectorDeadTimeMissingVoltage: Check = engineCheck({
  id: 'injector-dead-time-missing-voltage',
  severity: 'warning',
  title: 'Dead time misses cranking or charging',
  page: {
    catches: 'A dead-time curve that does not span the voltages from cranking to charging.',
    why: 'Beyond its ends a curve holds its edge value. The dead time at cranking voltage is several times that at charging voltage, so the engine would start lean or not at all.',
    example:
      'fuel:\n  injectors:\n    dead_time:\n      x: { quantity: battery_voltage, unit: V, breakpoints: [12, 14] }',
    remedy:
      'Add breakpoints with the injector maker’s values, down to the cranking voltage and up to the charging voltage.',
    basis: 'Common practice, no source.',
  },
  settings: {
    cranking: { kind: 'voltage', value: '8 V', meaning: 'Supply voltage during cranking.' },
    charging: { kind: 'voltage', value: '15 V', meaning: 'Highest supply voltage in normal charging.' },
  },
  *find(subject, { cranking, charging }): Generator<Found> {
    const axis = subject.installation.configuration.fuel?.injectors?.dead_time?.x;
    const [first, last] = [axis?.breakpoints[0], axis?.breakpoints.at(-1)];
    // Another check reports a curve over another quantity.
    if (axis?.quantity !== 'battery_voltage' || first === undefined || last === undefined) return;
    // If the breakpoints are out of order, the first is not the lowest; `breakpoints-not-rising` reports that.
    if (first > last) return;
    const missing = [
      first > cranking
        ? `starts at ${formatStated(first, 'V')}, above the cranking voltage of ${formatStated(cranking, 'V')}`
        : '',
      last < charging
        ? `ends at ${formatStated(last, 'V')}, below the charging voltage of ${formatStated(charging, 'V')}`
        : '',
    ].filter(Boolean);
    if (missing.length === 0) return;
    yield {
      at: axis.node.get('breakpoints') ?? axis.node,
      message: `The dead-time curve ${missing.join(', and ')}.`,
    };
  },
});
