import { manifoldPressure } from '../derived/charge-air.ts';
import { faultedLambda, faultedPoint, type SensorFault, sensorFaults } from '../derived/faults.ts';
import { targetLambda } from '../derived/fuel.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { groupedBy } from '../grouped-by.ts';
import { internList, memo, memoFlatMap } from '../memo.ts';
import { formatUnit, measuredQuantity } from '../quantity/index.ts';
import { type Check, engineCheck } from './check.ts';
import { passes } from './threshold.ts';
import { formatNumber, formatQuantity } from './words.ts';

/** What a fault makes of a point, in numbers; not a number where it is not known. */
interface Consequence {
  readonly lambda: number;
  readonly soundLambda: number;
  readonly moreAdvance: number;
  /** Manifold pressure of the sound engine, Pa. */
  readonly pressure: number;
}

function consequenceOf(fault: SensorFault, point: OperatingPoint): Consequence {
  const faulted = faultedPoint(point, fault);
  const { assumed, actual } = faulted;
  const advance = (state: OperatingPoint) => state.number(ignitionAdvance) ?? Number.NaN;
  return {
    lambda: faultedLambda(faulted)?.canonical ?? Number.NaN,
    soundLambda: point.number(targetLambda) ?? Number.NaN,
    moreAdvance: advance(assumed) - advance(actual),
    pressure: point.number(manifoldPressure) ?? 0,
  };
}

type Harm = 'lean' | 'early' | 'rich';

/** What a fault does at a point, and by how much that passes each limit; not a number where it does not. */
interface Judged extends Consequence, Readonly<Record<Harm, number>> {
  readonly point: OperatingPoint;
  readonly fault: SensorFault;
}

type Limits = Readonly<Record<'load' | 'leanest_at_load' | 'leanest' | 'advance' | 'richest', number>>;

/** By how much a number passes a limit; not a number where it does not. */
const excess = (value: number, limit: number): number => (passes(value, limit) ? value - limit : Number.NaN);

/** What a point is held against. */
interface Asked {
  readonly faults: readonly SensorFault[];
  readonly limits: Limits;
}

/** The same object for the same faults and limits. */
const askedOf = memo((faults: readonly SensorFault[], limits: Limits): Asked => ({ faults, limits }));

/** The faults that take the engine beyond a limit at a point. */
const beyondLimits = memoFlatMap((point: OperatingPoint, { faults, limits }: Asked): Judged[] => {
  const leanLimit = (pressure: number) => (pressure >= limits.load ? limits.leanest_at_load : limits.leanest);
  const beyond: Judged[] = [];
  for (const fault of faults) {
    const what = point.fact(fault, (one) => consequenceOf(fault, one));
    // What a sound engine does already is not the fault's doing.
    const isLean = passes(what.soundLambda, leanLimit(what.pressure));
    const isRich = passes(limits.richest, what.soundLambda);
    const lean = isLean ? Number.NaN : excess(what.lambda, leanLimit(what.pressure));
    const early = excess(what.moreAdvance, limits.advance);
    const rich = isRich ? Number.NaN : excess(limits.richest, what.lambda);
    if (lean > 0 || early > 0 || rich > 0) beyond.push({ ...what, point, fault, lean, early, rich });
  }
  return beyond;
});

/** The point where a fault passes a limit by most, of those where it passes it. */
function worst(judged: readonly Judged[], harm: Harm): Judged | undefined {
  let most: Judged | undefined;
  for (const one of judged) if (one[harm] > (most?.[harm] ?? 0)) most = one;
  return most;
}

/** `With manifold_pressure failed, 101 kPa abs stands in`, or what an unseen fault is taken for. */
export function faultWords({ name, sensor, value, noticed }: SensorFault): string {
  const measured = measuredQuantity(sensor.measures?.text ?? '')?.entry;
  const written =
    sensor.substitute?.quantity ??
    sensor.scaling?.points[0]?.to ??
    sensor.maximum?.quantity ??
    sensor.minimum?.quantity;
  const unit = written?.unit ? formatUnit(written.unit, written.reference) : (measured?.unit ?? '');
  const text = formatQuantity(value.canonical, unit, 3);
  return noticed
    ? `With ${name} failed, ${text} stands in`
    : `No \`fault_outside\` tells a broken wire of ${name} from a reading of ${text}`;
}

export const singleFaultBeyondLimit: Check = engineCheck({
  id: 'single-fault-beyond-limit',
  severity: 'warning',
  title: 'One failed sensor takes the engine beyond a limit',
  page: {
    catches:
      'A sensor whose substitute, or whose broken wire where no `fault_outside` lets it be noticed, makes the mixture leaner than the limit or the spark earlier than the margin at an operating point. A quantity that two sensors measure is passed over. So rich that an engine may stop is said as information.',
    why: 'Sensors and their wires fail in flight. The controller goes on computing fuel and spark, from a number that is not true any more; whether the engine gets through depends on which number that is.',
    example:
      'sensors:\n  manifold_pressure: { ..., substitute: 80 kPa abs }   # at take_off the engine breathes 150 kPa abs',
    remedy:
      'Choose the substitute for the point of highest load: rich and late is survived. Write `fault_outside` so that a broken wire is noticed, or fit a second sensor.',
    basis:
      'Derived: the pulse and the advance of the state that the controller assumes, in the state that there is, with no loop mending it. The limits are common practice, no source.',
  },
  settings: {
    load: { kind: 'absolute pressure', value: '95 kPa abs', meaning: 'High load begins here.' },
    leanest_at_load: { kind: 'number', value: '1.05', meaning: 'The leanest lambda there, in a fault.' },
    leanest: { kind: 'number', value: '1.15', meaning: 'The leanest lambda elsewhere, in a fault.' },
    advance: { kind: 'angle', value: '5 deg', meaning: 'How much earlier than intended the spark may come.' },
    richest: { kind: 'number', value: '0.55', meaning: 'The lambda below which an engine may stop.' },
  },
  *find({ derivation: { points }, installation }, limits) {
    const faults = sensorFaults(installation);
    const beyond = groupedBy(beyondLimits(points, askedOf(internList(faults), limits)), ({ fault }) => fault);
    for (const fault of faults) {
      // With bounds and nothing to stand in, what the controller does is not written.
      if (fault.noticed && fault.case !== 'substitute') continue;
      const judged = beyond.get(fault) ?? [];
      const [lean, early, rich] = (['lean', 'early', 'rich'] as const).map((harm) => worst(judged, harm));
      const words = faultWords(fault);
      const related = ({ point }: Judged) => [{ at: point.node, message: 'The operating point.' }];
      if (lean) {
        yield {
          at: fault.node,
          message: `${words}: lambda at ${lean.point.name} is ${formatNumber(lean.lambda, 3)} instead of ${formatNumber(lean.soundLambda, 3)}.`,
          related: related(lean),
        };
      }
      if (early) {
        yield {
          at: fault.node,
          message: `${words}: the spark at ${early.point.name} comes ${formatQuantity(early.moreAdvance, 'deg', 2)} earlier than intended.`,
          related: related(early),
        };
      }
      if (rich) {
        yield {
          at: fault.node,
          severity: 'information',
          message: `${words}: lambda at ${rich.point.name} is ${formatNumber(rich.lambda, 3)}, so rich that the engine may stop.`,
          related: related(rich),
        };
      }
    }
  },
});
