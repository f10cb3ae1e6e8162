import { nodeOf } from '../configuration/values.ts';
import { type SensorFault, sensorFaults } from '../derived/faults.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { groupedBy } from '../grouped-by.ts';
import { internList, memo, memoFlatMap } from '../memo.ts';
import type { Beyond, Proof } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import type { FurtherTargets } from '../proof/targets.ts';
import { witnessWords } from '../proof/witness.ts';
import { witnessPoint } from '../proof/witness-point.ts';
import { formatUnit, measuredQuantity } from '../quantity/index.ts';
import { boundClause, isNumberAsFar, openFinding, witnessFixes } from './beyond.ts';
import { boundCheck, type Check, type EngineSubject, type Found } from './check.ts';
import {
  type Consequence,
  consequenceAt,
  consequenceOf,
  DANGERS,
  type Danger,
  type FaultLimits,
  type Harm,
  leanestUnderFault,
  richestUnderFault,
} from './fault-dangers.ts';
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import { type UsualMixture, usualMixture } from './usual-mixture.ts';
import { formatQuantity } from './words.ts';

/** The effect of a fault at a point, and by how much it exceeds each limit; NaN where it does not. */
interface Judged extends Consequence, Readonly<Record<Harm, number>> {
  readonly point: OperatingPoint;
  readonly fault: SensorFault;
}

/** By how much a number exceeds a limit; NaN where it does not. */
const excess = (value: number, limit: number): number => (passes(value, limit) ? value - limit : Number.NaN);

/** The faults and limits to check a point for. */
interface Asked {
  readonly faults: readonly SensorFault[];
  readonly limits: FaultLimits;
  readonly usual: UsualMixture;
}

/** The same object for the same faults and limits. */
const askedOf = memo(
  (faults: readonly SensorFault[], limits: FaultLimits, usual: UsualMixture): Asked => ({
    faults,
    limits,
    usual,
  }),
);

/** The faults that exceed a limit at a point. */
const beyondLimits = memoFlatMap((point: OperatingPoint, { faults, limits, usual }: Asked): Judged[] => {
  const beyond: Judged[] = [];
  for (const fault of faults) {
    const what = consequenceAt(point, fault);
    // What happens without the fault is not an effect of it.
    const leanest = leanestUnderFault(limits, usual.leanest, what.pressure);
    const richest = richestUnderFault(limits, usual.richest, what);
    const isLean = passes(what.soundLambda, leanestUnderFault(limits, usual.leanest, what.soundPressure));
    const isRich = passes(
      richestUnderFault(limits, usual.richest, { ...what, pressure: what.soundPressure }),
      what.soundLambda,
    );
    const lean = isLean ? Number.NaN : excess(what.lambda, leanest);
    const early = excess(what.moreAdvance, limits.advance);
    const rich = isRich ? Number.NaN : excess(richest, what.lambda);
    if (lean > 0 || early > 0 || rich > 0) beyond.push({ ...what, point, fault, lean, early, rich });
  }
  return beyond;
});

/** The point at which a fault exceeds a limit by most. */
function furthestOf(judged: readonly Judged[], harm: Harm): Judged | undefined {
  let most: Judged | undefined;
  for (const one of judged) if (one[harm] > (most?.[harm] ?? 0)) most = one;
  return most;
}

/** The way of failing that reaches a bound, of those that a sensor has. */
function wayOf(
  { derivation }: EngineSubject,
  beyond: Beyond,
  ways: readonly SensorFault[],
  { numberOf }: Danger,
): SensorFault {
  const point = ways.length > 1 ? witnessPoint(derivation, beyond) : undefined;
  if (!point) return ways[0]!;
  const distance = (way: SensorFault) => Math.abs(numberOf(consequenceOf(way, point)) - beyond.reached);
  return ways.reduce((nearest, way) => (distance(way) < distance(nearest) ? way : nearest));
}

/** The findings for one danger of a failed sensor: at operating points, and in a state that goes further. */
function* endangered(
  subject: EngineSubject,
  proof: Proof,
  ways: readonly SensorFault[],
  danger: Danger,
  judgedOf: (way: SensorFault) => readonly Judged[],
  limits: FaultLimits,
): Generator<Found | Pause> {
  const [{ name, sensor }] = ways as [SensorFault];
  const furthest = new Map(ways.map((way) => [way, furthestOf(judgedOf(way), danger.harm)]));
  const beyond = yield* danger.beyond(proof, sensor, `sensors.${name}`, limits);
  const isShown = [...furthest.values()].some(
    (judged) =>
      judged && beyond && (beyond.verdict === 'open' || isNumberAsFar(danger.numberOf(judged), beyond)),
  );
  const reaching = beyond && !isShown ? wayOf(subject, beyond, ways, danger) : undefined;
  for (const way of ways) {
    const judged = furthest.get(way);
    const cause = way.noticed ? way.node : nodeOf(way.sensor);
    const related = judged ? [{ at: judged.point.node, message: 'The operating point.' }] : [];
    const { severity } = danger;
    if (beyond && way === reaching) {
      const where = `at ${witnessWords(beyond)}`;
      const excess = { bound: beyond, reached: beyond.reached, where, named: undefined };
      const fixes = witnessFixes(subject, excess, `${danger.harm}_without_${name}`);
      const text = `${faultWords(way)}, and ${danger.inState(beyond, where + boundClause(excess, danger.verb))}.`;
      yield beyond.verdict === 'open'
        ? openFinding(way.node, danger.label(quote(name)), excess, fixes)
        : { at: way.node, severity, message: text, related, fixes, cause };
    } else if (judged) {
      yield {
        at: way.node,
        severity,
        message: `${faultWords(way)}, and ${danger.atPoint(judged)}.`,
        related,
        cause,
      };
    }
  }
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

/** The mixture at high load is bounded by itself. */
const targetsFrom = memo((load: number): FurtherTargets => ({ load }));

export const singleFaultBeyondLimit: Check = boundCheck({
  id: 'single-fault-beyond-limit',
  severity: 'warning',
  title: 'Single sensor failure endangers engine',
  page: {
    catches:
      'A sensor whose substitute value makes the mixture too lean or the spark too early at an operating point or in any other state of the envelope. Without `fault_outside` the reading of a broken wire is used instead of the substitute value. Quantities measured by two sensors are skipped. A mixture so rich that the engine may stop is reported as information; for the manifold pressure sensor, only at operating points, because a substitute value that suits full load is too rich at idle in every engine.',
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
    allowance: {
      kind: 'ratio',
      value: '15 %',
      meaning:
        'How much leaner than the curve `leanest` of `lean-at-high-load`, or richer than its curve `richest`, the mixture may be at an operating point during a fault.',
    },
    advance: {
      kind: 'angle',
      value: '5 deg',
      meaning: 'Largest amount by which the spark may be too early during a fault.',
    },
    richest: { kind: 'number', value: '0.55', meaning: 'Lambda below which the engine may stop.' },
    leanest_running: {
      kind: 'number',
      value: '2',
      meaning: 'Lambda above which the engine may stop; the fault table uses it.',
    },
  },
  targets: ({ load }) => targetsFrom(load),
  *find(subject, proof, limits) {
    const { installation, derivation } = subject;
    const faults = sensorFaults(installation);
    const exceeding = groupedBy(
      beyondLimits(derivation.points, askedOf(internList(faults), limits, usualMixture(subject))),
      ({ fault }) => fault,
    );
    // With fault bounds but no substitute the file does not say what the controller does.
    const known = faults.filter((fault) => !fault.noticed || fault.case === 'substitute');
    for (const ways of groupedBy(known, ({ name }) => name).values()) {
      const judgedOf = (way: SensorFault) => exceeding.get(way) ?? [];
      for (const danger of DANGERS) yield* endangered(subject, proof, ways, danger, judgedOf, limits);
    }
  },
});
