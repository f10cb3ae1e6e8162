import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { ambientPressure } from '../derived/atmosphere.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { densityShare } from '../derived/density-share.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { valueText } from '../derived/value.ts';
import { minimumOf } from '../extremes.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { checkEach } from './each.ts';
import { passes } from './threshold.ts';
import { formatStated, percent } from './words.ts';

export const warmUpDoesNotEnd: Check = engineCheck({
  id: 'warm-up-does-not-end',
  severity: 'warning',
  title: 'Warm-up enrichment does not end',
  page: {
    catches:
      'A warm-up enrichment above 100 % at the coolant temperature of a warm engine, or below 100 % at any temperature.',
    why: 'The curve multiplies the base fuel at all times. A value above 100 % on a warm engine makes every mixture richer than its target. A value below 100 % makes it leaner, at full load too, which can melt pistons.',
    example:
      'fuel:\n  warm_up_enrichment:\n    x: { quantity: coolant_temperature, unit: °C, breakpoints: [-20, 20, 60] }\n    unit: "%"\n    values: [170, 125, 108]   # stays at 108 %',
    remedy: 'End the curve at 100 %, at the temperature from which the engine counts as warm.',
    basis: 'Common practice, no source. In the file format the edge value holds beyond the last breakpoint.',
  },
  settings: {
    warm: { kind: 'temperature', value: '80 °C', meaning: 'Coolant temperature of a warm engine.' },
    tolerance: {
      kind: 'ratio',
      value: '1 %',
      meaning: 'Deviation from 100 % that is ignored.',
    },
  },
  *find({ installation: { engines } }, { warm, tolerance }): Generator<Found> {
    for (const { configuration } of engines) {
      const curve = configuration.fuel?.warm_up_enrichment;
      if (!curve?.cells || curve.x?.quantity !== 'coolant_temperature') continue;
      const nodes = curve.rows[0]!;
      const least = minimumOf(curve.cells);
      const end = lookUp(curve, warm);
      if (passes(1 - tolerance, least)) {
        const node = nodes[curve.cells.indexOf(least)]!;
        const message = `Warm-up enrichment falls to ${percent(least)}. Below 100 % it removes fuel and makes the mixture leaner than its target.`;
        yield { at: node, message };
      } else if (end !== undefined && passes(end, 1 + tolerance)) {
        const message = `Warm-up enrichment is still ${percent(end)} at ${formatStated(warm, '°C')}, when the engine is warm, and makes every mixture richer than its target.`;
        yield { at: nodes.at(-1)!, message };
      }
    }
  },
});

export const chargeCorrectionCountsDensity: Check = engineCheck({
  id: 'charge-correction-counts-density',
  severity: 'warning',
  title: 'Air density corrected twice',
  page: {
    catches:
      'A charge temperature correction that falls as steeply with temperature as air density does, or that rises as steeply.',
    why: 'The fuel calculation already divides by the charge temperature. A curve that follows density again makes the engine rich in the cold and lean in the heat, by as much as density itself changes. A curve that rises cancels the density correction.',
    example:
      'fuel:\n  charge_temperature_correction:\n    x: { quantity: charge_temperature, unit: °C, breakpoints: [0, 40, 80] }\n    unit: "%"\n    values: [115, 100, 89]   # 313 K / T',
    remedy: 'Write only what remains after density: the evaporation of fuel, usually a few per cent.',
    basis:
      'Ideal gas law: density is inversely proportional to temperature. The share is common practice, no source.',
  },
  settings: {
    share: {
      kind: 'ratio',
      value: '50 %',
      meaning: 'Steepest usual curve, relative to the change of air density over the same temperatures.',
    },
  },
  *find({ installation: { engines } }, { share }): Generator<Found> {
    for (const { configuration } of engines) {
      const curve = configuration.fuel?.charge_temperature_correction;
      const density = curve && densityShare(curve);
      if (!density || !passes(Math.abs(density.share), share)) continue;
      yield {
        at: curve.node.get('values') ?? curve.node,
        message: `From ${formatStated(density.cold, '°C')} to ${formatStated(density.hot, '°C')} the correction ${density.last < density.first ? 'falls' : 'rises'} from ${percent(density.first)} to ${percent(density.last)}, which is ${percent(Math.abs(density.share), 2)} of the change in air density${density.share < 0 ? ', but in the opposite direction' : ''}; the fuel calculation already corrects for air density.`,
        cause: curve.node,
      };
    }
  },
});

type OverrunCut = NonNullable<NonNullable<Engine['configuration']['fuel']>['overrun_cut']>;

export const overrunCutMisplaced: Check = engineCheck({
  id: 'overrun-cut-misplaced',
  severity: 'error',
  title: 'Overrun cut extends into normal operation',
  page: {
    catches:
      'An overrun cut that restores the fuel at or above the speed at which it begins, that begins at or below idle speed, or that contains an operating point with an open throttle. It is a warning if the fuel returns only at or below idle speed.',
    why: 'The cut removes all fuel. If it reaches into normal operation, the engine stops, or hunts as the fuel is cut and restored.',
    example:
      'engine: { idle_speed: 1300 rpm, ... }\nfuel:\n  overrun_cut: { above: 1250 rpm, below: 35 kPa abs, resume_at: 1400 rpm }',
    remedy:
      'Set `above` well above idle speed, `below` lower than the manifold pressure of any operating point with an open throttle, and `resume_at` between idle speed and `above`.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { engines }, derivation }): Generator<Found> {
    for (const { configuration } of engines) {
      const cut = configuration.fuel?.overrun_cut;
      if (cut) yield* misplacedSpeeds(cut, configuration.engine?.idle_speed);
    }
    yield* cutAtEach(derivation.points, undefined);
  },
});

function* misplacedSpeeds(
  { above, resume_at: resume }: OverrunCut,
  idle: QuantityValue | undefined,
): Generator<Found> {
  if (above && resume && resume.canonical >= above.canonical) {
    yield {
      at: resume.node,
      message: `Fuel resumes at ${resume.node.text}, which is not below the ${above.node.text} at which the cut begins.`,
      related: [{ at: above.node, message: 'The speed at which the cut begins.' }],
    };
  }
  const related = idle ? [{ at: idle.node, message: 'The idle speed.' }] : [];
  if (above && idle && above.canonical <= idle.canonical) {
    yield {
      at: above.node,
      message: `The overrun cut begins at ${above.node.text}, which is not above the idle speed of ${idle.node.text}.`,
      related,
    };
  } else if (resume && idle && resume.canonical <= idle.canonical) {
    yield {
      at: resume.node,
      severity: 'warning',
      message: `Fuel resumes only at ${resume.node.text}, which is not above the idle speed of ${idle.node.text}. The engine may stop first.`,
      related,
    };
  }
}

const cutAtEach = checkEach(function* (point: OperatingPoint): Iterable<Found> {
  const { above, below } = point.configuration.fuel?.overrun_cut ?? {};
  const [pressure, ambient] = [point.get(manifoldPressure), point.get(ambientPressure)];
  const { speed, throttle } = point.conditions;
  // With a closed throttle the cut is intended.
  if (throttle?.canonical === 0) return;
  if (!above || !below || !pressure || !ambient || !passes(speed.canonical, above.canonical)) return;
  const limit = below.canonical + (below.quantity.reference === 'gauge' ? ambient.canonical : 0);
  if (!passes(limit, pressure.canonical)) return;
  yield {
    at: below.node,
    message: `\`${point.name}\` is at ${formatStated(speed.canonical, 'rpm')} and ${valueText(pressure)}, inside the overrun cut (above ${above.node.text} and below ${below.node.text}).`,
    related: [{ at: point.node, message: 'The operating point.' }],
  };
});
