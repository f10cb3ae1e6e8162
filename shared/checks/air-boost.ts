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
import { checkEach } from './each.ts';
import { placesBehind } from './follows.ts';
import { furthestOfEachTable } from './furthest-cell.ts';
import { passes } from './threshold.ts';
import { formatStated, rounded } from './words.ts';

/** A target cell and the limit that it is compared with. */
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
  title: 'Boost target below unboosted pressure',
  onStandby: true,
  page: {
    catches:
      'A cell in the full-throttle row of a boost target (the last row) below the manifold pressure at sea level without a compressor, which is ambient pressure minus the intake loss.',
    why: 'With the throttle and the wastegate both open, the manifold is near ambient pressure, so a lower target cannot be held. The usual cause is gauge pressure where absolute pressure belongs.',
    example: 'boost:\n  target: { ..., unit: kPa abs, values: [..., [20, 45, 50]] }   # intended as gauge',
    remedy: 'Write absolute pressures, or change the unit to `kPa gauge`.',
    basis:
      'Arithmetic, at sea level in the standard atmosphere (ISO 2533). The tolerance is common practice, no source.',
  },
  settings: {
    tolerance: {
      kind: 'ratio',
      value: '5 %',
      meaning:
        'How far below the unboosted pressure a target may be, as on an engine that uses boost only to restore sea-level power.',
    },
  },
  *find({ installation: { engines } }, { tolerance }) {
    const offenders = engines
      .flatMap(targetCells)
      .filter((cell) => cell.fullThrottle)
      .flatMap((cell) => compared(cell, cell.point.get(unboostedManifoldPressure)))
      .filter(({ target, limit }) => passes(limit.canonical * (1 - tolerance), target.canonical))
      .map((cell) => ({ ...cell, excess: -cell.excess }));
    for (const { worst, others } of furthestOfEachTable(offenders)) {
      yield {
        at: worst.cell,
        message: `Boost target is ${valueText(worst.target)} ${targetCellText(worst)}${others}, below the ${valueText(worst.limit)} that the engine reaches at sea level without boost.`,
      };
    }
  },
});

export const targetBeyondCompressor: Check = engineCheck({
  id: 'target-beyond-compressor',
  severity: 'warning',
  title: 'Boost target beyond compressor limit',
  onStandby: true,
  page: {
    catches: 'A cell of a boost target that the compressor cannot reach even at sea level.',
    why: 'The controller keeps the wastegate closed for a pressure that is never reached, which drives the compressor past its maximum pressure ratio, into surge or overspeed.',
    example:
      'boost:\n  target: { ..., values: [..., [180, 240, 240]] }   # 2.2 at sea level gives 215 kPa abs\n  compressor: { maximum_pressure_ratio: 2.2 }',
    remedy: 'Lower the target, or fit a compressor with a higher pressure ratio.',
    basis:
      'Pressure ratio times inlet pressure, minus the intercooler loss, at sea level in the standard atmosphere (ISO 2533).',
  },
  *find({ installation: { configuration, engines } }) {
    const ratio = configuration.boost?.compressor?.maximum_pressure_ratio;
    const offenders = engines
      .flatMap(targetCells)
      .flatMap((cell) => compared(cell, cell.point.get(availableManifoldPressure)))
      .filter(({ excess }) => excess > 0);
    for (const { worst, others } of furthestOfEachTable(offenders)) {
      yield {
        at: worst.cell,
        message: `Boost target is ${valueText(worst.target)} ${targetCellText(worst)}${others}, above the ${valueText(worst.limit)} that the compressor reaches at sea level.`,
        related: ratio ? [{ at: ratio.node, message: worst.limit.substituted }] : [],
      };
    }
  },
});

export const criticalAltitudeExceeded: Check = engineCheck({
  id: 'critical-altitude',
  severity: 'information',
  title: 'Critical altitude of boost target',
  onStandby: true,
  page: {
    catches:
      'As information, the altitude up to which the compressor holds the highest boost target. As a warning, an operating point with a higher manifold pressure than is available at its altitude.',
    why: 'Above its critical altitude an engine loses power like one without a compressor, and the wastegate no longer has any effect. If an operating point states a pressure that is not available, its fuel and power are wrong.',
    example:
      'operating_points:\n  cruise: { speed: 5200 rpm, throttle: 100 %, pressure_altitude: 16000 ft }   # 150 kPa abs is available up to 11400 ft',
    remedy:
      'Lower the altitude or the stated pressure of the operating point. A point that takes its pressure from the boost target is already computed with the available pressure.',
    basis:
      'Ambient pressure at which the maximum pressure ratio just reaches the target, as pressure altitude in the standard atmosphere (ISO 2533).',
  },
  *find({ derivation }): Generator<Found> {
    const altitude = derivation.one(criticalAltitudeOfHighestTarget);
    const highest = derivation.one(highestBoostTarget);
    if (altitude && highest && altitude.canonical > 0) {
      yield {
        at: altitude.node,
        message: `The compressor holds the highest boost target, ${valueText(highest)} ${highest.note}, up to ${rounded(altitude.canonical, altitude.show)}.`,
        related: [{ at: highest.node, message: 'The highest boost target.' }],
      };
    }
    yield* tooHighEach(derivation.points, undefined);
  },
});

const tooHighEach = checkEach(function* (point: OperatingPoint): Iterable<Found> {
  const target = point.get(targetManifoldPressure);
  const available = point.get(availableManifoldPressure);
  if (!target || !available || target.canonical <= available.canonical) return;
  const { manifoldPressure, pressureAltitude } = point.conditions;
  const limit = point.get(criticalAltitude);
  const held =
    limit && limit.canonical > 0
      ? `; ${valueText(target)} is available up to ${rounded(limit.canonical, limit.show)}`
      : '';
  const height = formatStated(pressureAltitude.canonical, 'ft');
  yield {
    at: placeOfOperand(manifoldPressure) ?? pressureAltitude.node ?? point.node,
    severity: 'warning',
    message: `\`${point.name}\` needs ${valueText(target)}, but only ${valueText(available)} is available at ${height}${held}.`,
    related: [{ at: point.node, message: `${available.label}: ${available.substituted}` }],
    follows: [...placesBehind(available), ...placesBehind(target)],
  };
});
