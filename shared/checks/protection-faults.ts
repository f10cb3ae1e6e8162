import { nodeOf } from '../configuration/values.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { faultedLambda, faultedPoint, type SensorFault, sensorFaults } from '../derived/faults.ts';
import { targetLambda } from '../derived/fuel.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { groupedBy } from '../grouped-by.ts';
import { internList, memo, memoFlatMap } from '../memo.ts';
import type { Beyond, Proof } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import { witnessWords } from '../proof/witness.ts';
import { formatUnit, measuredQuantity } from '../quantity/index.ts';
import { boundClause, isNumberAsFar, openFinding, witnessFixes } from './beyond.ts';
import { boundCheck, type Check } from './check.ts';
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import { formatNumber, formatQuantity, numberBeside } from './words.ts';

/** The effect of a fault at a point; NaN where it is not known. */
interface Consequence {
  readonly lambda: number;
  readonly soundLambda: number;
  readonly moreAdvance: number;
  /** Manifold pressure without the fault, Pa. */
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

/** The effect of a fault at a point, and by how much it exceeds each limit; NaN where it does not. */
interface Judged extends Consequence, Readonly<Record<Harm, number>> {
  readonly point: OperatingPoint;
  readonly fault: SensorFault;
}

type Limits = Readonly<Record<'load' | 'leanest_at_load' | 'leanest' | 'advance' | 'richest', number>>;

/** By how much a number exceeds a limit; NaN where it does not. */
const excess = (value: number, limit: number): number => (passes(value, limit) ? value - limit : Number.NaN);

/** The faults and limits to check a point for. */
interface Asked {
  readonly faults: readonly SensorFault[];
  readonly limits: Limits;
}

/** The same object for the same faults and limits. */
const askedOf = memo((faults: readonly SensorFault[], limits: Limits): Asked => ({ faults, limits }));

/** The faults that exceed a limit at a point. */
const beyondLimits = memoFlatMap((point: OperatingPoint, { faults, limits }: Asked): Judged[] => {
  const leanLimit = (pressure: number) => (pressure >= limits.load ? limits.leanest_at_load : limits.leanest);
  const beyond: Judged[] = [];
  for (const fault of faults) {
    const what = point.fact(fault, (one) => consequenceOf(fault, one));
    // What happens without the fault is not an effect of it.
    const isLean = passes(what.soundLambda, leanLimit(what.pressure));
    const isRich = passes(limits.richest, what.soundLambda);
    const lean = isLean ? Number.NaN : excess(what.lambda, leanLimit(what.pressure));
    const early = excess(what.moreAdvance, limits.advance);
    const rich = isRich ? Number.NaN : excess(limits.richest, what.lambda);
    if (lean > 0 || early > 0 || rich > 0) beyond.push({ ...what, point, fault, lean, early, rich });
  }
  return beyond;
});

/** The point at which a fault exceeds a limit by most. */
function worst(judged: readonly Judged[], harm: Harm): Judged | undefined {
  let most: Judged | undefined;
  for (const one of judged) if (one[harm] > (most?.[harm] ?? 0)) most = one;
  return most;
}

/**
 * The leanest mixture with a failed sensor, if it is beyond the limit at high load or elsewhere. What is too lean
 * without the fault is not an effect of it.
 */
function* leanestBeyond(proof: Proof, sensor: string, limits: Limits): Generator<Pause, Beyond | undefined> {
  const parts = [
    { limit: limits.leanest_at_load, region: { lowestPressure: limits.load } },
    { limit: limits.leanest, region: {} },
  ];
  for (const { limit, region } of parts) {
    const question = { side: 'high', limitOf: () => limit, regionsOf: () => [region] } as const;
    const beyond = yield* proof.beyond({ ...question, id: 'lambda', fault: `sensors.${sensor}` });
    if (beyond && !(yield* proof.beyond({ ...question, id: targetLambda.id }))) return beyond;
  }
  return undefined;
}

/**
 * ``If `manifold_pressure` fails, the controller uses 101 kPa abs``, or the value that it reads if it does not notice
 * the fault.
 */
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
    ? `If ${quote(name)} fails, the controller uses ${text}`
    : `${quote(name)} has no \`fault_outside\`: with a broken wire the controller reads ${text}`;
}

export const singleFaultBeyondLimit: Check = boundCheck({
  id: 'single-fault-beyond-limit',
  severity: 'warning',
  title: 'Single sensor failure endangers engine',
  page: {
    catches:
      'A sensor whose substitute value makes the mixture too lean at an operating point or in any other state of the envelope, or the spark too early at an operating point. Without `fault_outside` the reading of a broken wire is used instead of the substitute value. Quantities measured by two sensors are skipped. A mixture so rich that the engine may stop is reported as information.',
    why: 'Sensors and their wires fail in flight. The controller then computes fuel and spark from a wrong value, and that value decides whether the engine survives. If a failed manifold pressure sensor reads less than a boost target, the boost loop keeps closing the wastegate, and only the compressor limits the pressure.',
    example:
      'sensors:\n  manifold_pressure: { ..., substitute: 80 kPa abs }   # at take_off the manifold pressure is 150 kPa abs',
    remedy:
      'Choose the substitute value for the point of highest load: an engine survives a mixture that is too rich and a spark that is too late. Write `fault_outside` so that the controller notices a broken wire, or fit a second sensor.',
    basis:
      'Derived: pulse width and advance for the state that the controller assumes, applied in the actual state without correction by a loop. The limits are common practice, no source.',
  },
  settings: {
    load: {
      kind: 'absolute pressure',
      value: '95 kPa abs',
      meaning: 'Manifold pressure at which high load begins.',
    },
    leanest_at_load: {
      kind: 'number',
      value: '1.05',
      meaning: 'Leanest lambda at high load during a fault.',
    },
    leanest: { kind: 'number', value: '1.15', meaning: 'Leanest lambda elsewhere during a fault.' },
    advance: {
      kind: 'angle',
      value: '5 deg',
      meaning: 'Largest amount by which the spark may be too early during a fault.',
    },
    richest: { kind: 'number', value: '0.55', meaning: 'Lambda below which the engine may stop.' },
  },
  *find(subject, proof, limits) {
    const { installation } = subject;
    const { points } = subject.derivation;
    const faults = sensorFaults(installation);
    const exceeding = groupedBy(
      beyondLimits(points, askedOf(internList(faults), limits)),
      ({ fault }) => fault,
    );
    for (const fault of faults) {
      // With fault bounds but no substitute the file does not say what the controller does.
      if (fault.noticed && fault.case !== 'substitute') continue;
      // The proof covers all the ways in which a sensor can fail.
      const isFirstWay = faults.find(({ name }) => name === fault.name) === fault;
      const judged = exceeding.get(fault) ?? [];
      const [lean, early, rich] = (['lean', 'early', 'rich'] as const).map((harm) => worst(judged, harm));
      const words = faultWords(fault);
      const related = ({ point }: Judged) => [{ at: point.node, message: 'The operating point.' }];
      const cause = fault.noticed ? fault.node : nodeOf(fault.sensor);
      const beyond = isFirstWay ? yield* leanestBeyond(proof, fault.name, limits) : undefined;
      if (beyond && !(lean && (beyond.verdict === 'open' || isNumberAsFar(lean.lambda, beyond)))) {
        const where = `at ${witnessWords(beyond)}`;
        const fixes = witnessFixes(
          subject,
          { bound: beyond, named: undefined },
          `lean_without_${fault.name}`,
        );
        yield beyond.verdict === 'open'
          ? openFinding(fault.node, `lambda without ${quote(fault.name)}`, { bound: beyond, where }, fixes)
          : {
              at: fault.node,
              message: `${words}, and lambda reaches ${numberBeside(beyond.reached, beyond.limit)} ${where}, above the limit of ${formatNumber(beyond.limit)}${boundClause({ bound: beyond, reached: beyond.reached }, 'gives')}.`,
              related: lean ? related(lean) : [],
              fixes,
              cause,
            };
      } else if (lean) {
        yield {
          at: fault.node,
          message: `${words}, and lambda at ${quote(lean.point.name)} is ${formatNumber(lean.lambda, 3)} instead of ${formatNumber(lean.soundLambda, 3)}.`,
          related: related(lean),
          cause,
        };
      }
      if (early) {
        yield {
          at: fault.node,
          message: `${words}, and the spark at ${quote(early.point.name)} is ${formatQuantity(early.moreAdvance, 'deg', 2)} too early.`,
          related: related(early),
          cause,
        };
      }
      if (rich) {
        yield {
          at: fault.node,
          severity: 'information',
          message: `${words}, and lambda at ${quote(rich.point.name)} is ${formatNumber(rich.lambda, 3)}, so rich that the engine may stop.`,
          related: related(rich),
          cause,
        };
      }
    }
  },
});
