import { nodeOf } from '../configuration/values.ts';
import { type SensorFault, sensorFaults } from '../derived/faults.ts';
import { sensorsMeasuring } from '../derived/sensor-reading.ts';
import { minimumOf } from '../extremes.ts';
import { keyNode } from '../source/source-file.ts';
import { type Check, type EngineSubject, engineCheck } from './check.ts';
import { ambientPressures } from './extreme-states.ts';
import { consequenceAt } from './fault-dangers.ts';
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import { formatNumber, formatQuantity, percent } from './words.ts';

/** Petrol engines misfire beyond this lambda. Common practice, no source. */
const MISFIRE = 2;

interface Leaning {
  readonly fault: SensorFault;
  readonly lambda: number;
  readonly point: string;
  /** Lambda over its target. */
  readonly ratio: number;
}

/** The leanest mixture if the controller keeps a reading at a fault bound, as without a substitute it may. */
function leanest({ derivation }: EngineSubject, faults: readonly SensorFault[]): Leaning | undefined {
  let most: Leaning | undefined;
  for (const fault of faults) {
    for (const point of derivation.points) {
      const { lambda, soundLambda: target } = consequenceAt(point, fault);
      if (!(lambda > 0) || !(target > 0)) continue;
      const ratio = lambda / target;
      if (!most || ratio > most.ratio) most = { fault, lambda, point: point.name, ratio };
    }
  }
  return most;
}

export const substituteMissing: Check = engineCheck({
  id: 'substitute-missing',
  severity: 'warning',
  title: 'Substitute value missing',
  page: {
    catches:
      'A sensor with `fault_outside` and without `substitute`, if a reading at one of the fault bounds leans the mixture by more than the threshold at an operating point.',
    why: 'The controller notices the fault, but the file does not say what it does next. If it keeps the last reading, which is at a fault bound, the engine runs lean.',
    example:
      'sensors:\n  manifold_pressure: { measures: manifold_pressure, ..., fault_outside: 0.2..4.8 V }   # and no substitute',
    remedy: 'Add a `substitute` with which the mixture is never lean.',
    basis: 'The meaning of the keys. The threshold is common practice, no source.',
  },
  settings: {
    leaning: { kind: 'ratio', value: '10 %', meaning: 'Largest increase of lambda over its target.' },
  },
  *find(subject, { leaning }) {
    const unsure = sensorFaults(subject.installation).filter(
      (fault) => fault.noticed && fault.case !== 'substitute',
    );
    for (const name of new Set(unsure.map((fault) => fault.name))) {
      const most = leanest(
        subject,
        unsure.filter((fault) => fault.name === name),
      );
      if (!most || !passes(most.ratio - 1, leaning)) continue;
      const { fault, lambda, point, ratio } = most;
      const node = nodeOf(fault.sensor);
      yield {
        at: keyNode(node),
        message: `${quote(name)} has no substitute value, so it is unknown what the controller does if the sensor fails. With a reading at a fault bound, ${lambda > MISFIRE ? `the mixture at ${quote(point)} is too lean to burn` : `lambda at ${quote(point)} is ${formatNumber(lambda)}, ${percent(ratio - 1, 2)} above its target; the limit is ${percent(leaning)}`}.`,
        related: [{ at: fault.node, message: 'The fault bounds.' }],
      };
    }
  },
});

export const substituteOutsideOperation: Check = engineCheck({
  id: 'substitute-outside-operation',
  severity: 'warning',
  title: 'Substitute value never occurs',
  page: {
    catches:
      'A substitute value for ambient pressure that is below the pressure at the highest altitude of the operating points and the envelope, or above any that occurs.',
    why: 'With the sensor failed, the controller assumes an altitude at which the aircraft never is. A gauge boost target, an altitude correction and the idle air are then wrong by the difference.',
    example:
      'ambient_pressure: { measures: ambient_pressure, ..., substitute: 51 kPa abs }   # half an atmosphere',
    remedy:
      'Write a pressure between those at the highest and the lowest altitude, or one from which the engine can only be too rich.',
    basis: 'Standard atmosphere, ISO 2533. The highest pressure at sea level is common practice, no source.',
  },
  settings: {
    lowest: {
      kind: 'absolute pressure',
      value: '65 kPa abs',
      meaning: 'Lowest ambient pressure, if the file has no lower operating point.',
    },
    highest: { kind: 'absolute pressure', value: '108 kPa abs', meaning: 'Highest ambient pressure.' },
  },
  *find(subject, { lowest, highest }) {
    const least = minimumOf([lowest, ...ambientPressures(subject.derivation)]);
    for (const [name, { substitute }] of sensorsMeasuring(
      subject.installation.configuration,
      'ambient_pressure',
    )) {
      if (substitute?.quantity.reference !== 'absolute') continue;
      const { canonical, node } = substitute;
      if (!passes(least, canonical) && !passes(canonical, highest)) continue;
      yield {
        at: node,
        message: `The substitute value of ${quote(name)} is ${node.text}, but ambient pressure is between ${formatQuantity(least, 'kPa abs')} and ${formatQuantity(highest, 'kPa abs')}.`,
      };
    }
  },
});
