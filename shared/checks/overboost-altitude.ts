import type { Engine } from '../configuration/installation.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { ambientPressure } from '../derived/atmosphere.ts';
import { highestOfEngine, type TargetCell, targetCellText } from '../derived/boost-target.ts';
import {
  availableManifoldPressure,
  criticalAltitude,
  manifoldPressure,
  targetManifoldPressure,
} from '../derived/charge-air.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import type { DerivedValue } from '../derived/value.ts';
import type { Proof } from '../proof/proof.ts';
import type { Found } from './check.ts';
import { passes } from './threshold.ts';
import { percent, percentBeside, quantityPair, rounded } from './words.ts';

/** An overboost cut and the pressure of a boost target, at one altitude. */
interface MarginAtAltitude {
  /** The engine at the target's speed and throttle, at the altitude. */
  readonly point: OperatingPoint;
  /** The target, or what the compressor can supply if that is less; absolute. */
  readonly pressure: DerivedValue;
  readonly isSupplied: boolean;
  /** The cut as absolute pressure (Pa). */
  readonly cut: number;
  /** The cut over the pressure, less 1. */
  readonly margin: number;
}

/**
 * The least margin of a cut over a target at any of the altitudes (m). Cut and target are linear in ambient pressure, and
 * so is what the compressor can supply. Between the ends and the altitude at which that falls to the target, the ratio of
 * cut and pressure therefore only rises or only falls.
 */
function leastMargin(
  cut: QuantityValue,
  { point }: TargetCell,
  { low, high }: { readonly low: number; readonly high: number },
): MarginAtAltitude | undefined {
  const critical = point.number(criticalAltitude);
  const altitudes = critical !== undefined && critical > low && critical < high ? [critical] : [];
  let least: MarginAtAltitude | undefined;
  for (const altitude of [low, ...altitudes, high]) {
    const one = marginAt(
      cut,
      point.inState({ ...point.conditions, pressureAltitude: { canonical: altitude } }),
    );
    if (one && !(least && least.margin <= one.margin)) least = one;
  }
  return least;
}

function marginAt({ quantity }: QuantityValue, point: OperatingPoint): MarginAtAltitude | undefined {
  const ambient = point.number(ambientPressure);
  const target = point.get(targetManifoldPressure);
  // Without limits of the compressor only the target is known.
  const pressure = point.get(availableManifoldPressure) ? point.get(manifoldPressure) : target;
  if (ambient === undefined || !target || !pressure) return undefined;
  const cut = quantity.canonical + (quantity.reference === 'gauge' ? ambient : 0);
  const isSupplied = passes(target.canonical, pressure.canonical);
  return { point, pressure, isSupplied, cut, margin: cut / pressure.canonical - 1 };
}

/**
 * A cut that leaves too little margin only at altitudes other than sea level, because the cut or the target is gauge
 * pressure: of each cut the least margin of all map sets.
 */
export function closeAtAltitude(engines: readonly Engine[], proof: Proof, margin: number): Found[] {
  const found = new Map<QuantityValue, MarginAtAltitude & { readonly highest: TargetCell }>();
  for (const engine of engines) {
    const { overboost_cut: cut, target } = engine.configuration.boost ?? {};
    const highest = highestOfEngine(engine);
    const envelope = proof.situations.find(({ mapSet }) => mapSet === engine.mapSet)?.envelope;
    const isGauge = cut?.quantity.reference === 'gauge' || target?.reference === 'gauge';
    if (!cut || !highest || !envelope || !isGauge) continue;
    const least = leastMargin(cut, highest, envelope.ranges.pressure_altitude);
    if (!least || least.cut >= least.pressure.canonical * (1 + margin) - 1) continue;
    const before = found.get(cut);
    if (!before || least.margin < before.margin) found.set(cut, { ...least, highest });
  }
  return [...found].map(([cut, least]) => closeAtAltitudeFinding(cut, least, least.highest, margin));
}

function closeAtAltitudeFinding(
  cut: QuantityValue,
  least: MarginAtAltitude,
  highest: TargetCell,
  margin: number,
): Found {
  const { point, pressure, isSupplied, margin: excess } = least;
  const altitude = rounded(point.conditions.pressureAltitude!.canonical, 'ft').replace('-', '−');
  const [cutText, pressureText] = quantityPair(least.cut, pressure.canonical, 'kPa abs');
  const isAbove = excess > 0;
  const judgement = isAbove ? `only ${percentBeside(excess, margin, 2)} above` : 'not above';
  const there = cut.quantity.reference === 'gauge' ? ` (${cutText} there)` : '';
  const what = isSupplied ? 'what the compressor supplies there' : 'the highest boost target';
  return {
    at: cut.node,
    severity: isAbove ? 'warning' : 'error',
    message: `At ${altitude} the overboost cut of ${cut.node.text}${there} is ${judgement} ${what}, ${pressureText} ${targetCellText(highest)}; a margin of ${percent(margin)} is usual.`,
    related: [
      { at: highest.cell, message: `The highest boost target. ${pressure.label}: ${pressure.substituted}` },
    ],
  };
}
