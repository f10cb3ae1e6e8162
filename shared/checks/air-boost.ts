import {
  criticalAltitudeOfHighestTarget,
  highestBoostTarget,
  type TargetCell,
  targetCells,
  targetCellText,
} from '../derived/boost-target.ts';
import {
  availableManifoldPressure,
  criticalAltitude,
  targetManifoldPressure,
  unboostedManifoldPressure,
} from '../derived/charge-air.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { type DerivedValue, placeOfOperand, valueText } from '../derived/value.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { judgeEach } from './each.ts';
import { formatQuantity } from './words.ts';
import { worstOfEachTable } from './worst-cell.ts';

/** A target cell and what it is held against. */
interface Compared extends TargetCell {
  readonly limit: DerivedValue;
  readonly excess: number;
}

function compared(cell: TargetCell, limit: DerivedValue | undefined): Compared[] {
  return limit ? [{ ...cell, limit, excess: cell.target.canonical - limit.canonical }] : [];
}

export const targetBelowAmbient: Check = engineCheck({
  id: 'target-below-ambient',
  severity: 'warning',
  title: 'Boost target lower than without boost',
  page: {
    catches:
      'A cell in the full-throttle row of a boost target (the last one) that asks for less than the engine would breathe at sea level without a compressor: ambient pressure less the loss of the intake.',
    why: 'With the throttle open and the wastegate open too the manifold stands at ambient pressure. A lower target cannot be held; most often gauge pressures were written where absolute ones belong.',
    example: 'boost:\n  target: { ..., unit: kPa abs, values: [..., [20, 45, 50]] }   # meant as gauge',
    remedy: 'Write the pressure from vacuum, or state the unit as `kPa gauge`.',
    basis: 'Arithmetic, at sea level of the standard atmosphere (ISO 2533).',
  },
  *find({ installation: { engines } }) {
    const offenders = engines
      .flatMap(targetCells)
      .filter((cell) => cell.fullThrottle)
      .flatMap((cell) => compared(cell, cell.point.get(unboostedManifoldPressure)))
      .filter(({ excess }) => excess < 0)
      .map((cell) => ({ ...cell, excess: -cell.excess }));
    for (const { worst, others } of worstOfEachTable(offenders)) {
      yield {
        at: worst.cell,
        message: `The target is ${valueText(worst.target)} ${targetCellText(worst)}${others}; at sea level the engine breathes ${valueText(worst.limit)} without any boost.`,
      };
    }
  },
});

export const targetBeyondCompressor: Check = engineCheck({
  id: 'target-beyond-compressor',
  severity: 'warning',
  title: 'Boost target beyond the compressor',
  page: {
    catches: 'A cell of a boost target that the compressor cannot reach even at sea level.',
    why: 'The wastegate shuts for a pressure that never comes, and the compressor is driven past its highest pressure ratio: into surge or overspeed.',
    example:
      'boost:\n  target: { ..., values: [..., [180, 240, 240]] }   # 2.2 at sea level gives 215 kPa abs\n  compressor: { maximum_pressure_ratio: 2.2 }',
    remedy: 'Lower the target, or fit a compressor that makes such a pressure ratio.',
    basis:
      'Pressure ratio times inlet pressure, less the loss of the intercooler, at sea level of the standard atmosphere (ISO 2533).',
  },
  *find({ installation: { configuration, engines } }) {
    const ratio = configuration.boost?.compressor?.maximum_pressure_ratio;
    const offenders = engines
      .flatMap(targetCells)
      .flatMap((cell) => compared(cell, cell.point.get(availableManifoldPressure)))
      .filter(({ excess }) => excess > 0);
    for (const { worst, others } of worstOfEachTable(offenders)) {
      yield {
        at: worst.cell,
        message: `The target is ${valueText(worst.target)} ${targetCellText(worst)}${others}; at sea level the compressor gives ${valueText(worst.limit)} at most.`,
        related: ratio ? [{ at: ratio.node, message: worst.limit.substituted }] : [],
      };
    }
  },
});

export const criticalAltitudeExceeded: Check = engineCheck({
  id: 'critical-altitude',
  severity: 'information',
  title: 'Critical altitude',
  page: {
    catches:
      'As information, the altitude up to which the compressor holds the highest boost target. As a warning, an operating point that asks for more manifold pressure than there is at its altitude.',
    why: 'Above its critical altitude an engine loses power like one without a compressor, and the wastegate has no more say. A point that counts on the target computes fuel and power with a pressure that will not be there.',
    example:
      'operating_points:\n  cruise: { speed: 5200 rpm, throttle: 100 %, pressure_altitude: 16000 ft }   # 150 kPa abs is held up to 11 400 ft',
    remedy:
      'Lower the altitude or the target of the point, or take its figures as they are: computed with what there is.',
    basis:
      'Ambient pressure at which the highest pressure ratio just gives the target, as pressure altitude of the standard atmosphere (ISO 2533).',
  },
  *find({ derivation }): Generator<Found> {
    const altitude = derivation.one(criticalAltitudeOfHighestTarget);
    const highest = derivation.one(highestBoostTarget);
    if (altitude && highest && altitude.canonical > 0) {
      yield {
        at: altitude.node,
        message: `The compressor holds the highest target, ${valueText(highest)} ${highest.note}, up to ${valueText(altitude)}.`,
        related: [{ at: highest.node, message: 'The highest target.' }],
      };
    }
    yield* tooHighEach(derivation.points, undefined);
  },
});

const tooHighEach = judgeEach(function* (point: OperatingPoint): Iterable<Found> {
  const target = point.get(targetManifoldPressure);
  const available = point.get(availableManifoldPressure);
  if (!target || !available || target.canonical <= available.canonical) return;
  const { manifoldPressure, pressureAltitude } = point.conditions;
  const limit = point.get(criticalAltitude);
  const held = limit && limit.canonical > 0 ? `; ${valueText(target)} is held up to ${valueText(limit)}` : '';
  const height = formatQuantity(pressureAltitude.canonical, 'ft');
  yield {
    at: placeOfOperand(manifoldPressure) ?? pressureAltitude.node ?? point.node,
    severity: 'warning',
    message: `${point.name} asks for ${valueText(target)} and there are ${valueText(available)} at ${height}${held}.`,
    related: [{ at: point.node, message: `${available.label}: ${available.substituted}` }],
  };
});
