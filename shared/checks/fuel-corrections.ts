import type { Engine } from '../configuration/installation.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { ambientPressure } from '../derived/atmosphere.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { valueText } from '../derived/value.ts';
import { minimumOf } from '../extremes.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { judgeEach } from './each.ts';
import { passes } from './threshold.ts';
import { formatQuantity, percent } from './words.ts';

export const warmUpDoesNotEnd: Check = engineCheck({
  id: 'warm-up-does-not-end',
  severity: 'warning',
  title: 'Warm-up fuel that does not come to 100 %',
  page: {
    catches:
      'A warm-up enrichment that is not 100 % at the coolant temperature of a warm engine, or that takes fuel away anywhere.',
    why: 'The curve multiplies the base fuel at all times. What it has left on a warm engine makes every mixture richer than its target, and less than 100 % makes it leaner, at full load too: that is how pistons melt.',
    example:
      'fuel:\n  warm_up_enrichment:\n    x: { quantity: coolant_temperature, unit: °C, breakpoints: [-20, 20, 60] }\n    unit: "%"\n    values: [170, 125, 108]   # and 108 % for ever',
    remedy: 'End the curve with 100 % at the temperature from which the engine counts as warm.',
    basis: 'Common practice, no source; that the edge value holds beyond the last breakpoint is the format.',
  },
  settings: {
    warm: { kind: 'temperature', value: '80 °C', meaning: 'The coolant of an engine that has warmed up.' },
    tolerance: {
      kind: 'ratio',
      value: '1 %',
      meaning: 'How much fuel more or less is none worth speaking of.',
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
        const message = `Warm-up enrichment goes down to ${percent(least)}: there it takes fuel away, and the mixture is leaner than its target.`;
        yield { at: node, message };
      } else if (end !== undefined && passes(end, 1 + tolerance)) {
        const message = `Warm-up enrichment is still ${percent(end)} at ${formatQuantity(warm, '°C')}, where the engine is warm: every mixture is richer than its target.`;
        yield { at: nodes.at(-1)!, message };
      }
    }
  },
});

type OverrunCut = NonNullable<NonNullable<Engine['configuration']['fuel']>['overrun_cut']>;

export const overrunCutMisplaced: Check = engineCheck({
  id: 'overrun-cut-misplaced',
  severity: 'error',
  title: 'Overrun cut where the engine has to run',
  page: {
    catches:
      'An overrun cut that returns the fuel at or above the speed at which it begins, that begins at or below idle, or in which an operating point with an open throttle stands; a warning where the fuel returns only at idle or below.',
    why: 'The cut takes all fuel away. Where it reaches into what the engine has to do, the engine stops, or hunts between fuel and none.',
    example:
      'engine: { idle_speed: 1300 rpm, ... }\nfuel:\n  overrun_cut: { above: 1250 rpm, below: 35 kPa abs, resume_at: 1400 rpm }',
    remedy:
      'Begin the cut well above idle and below the manifold pressure of any operating point with an open throttle, and return the fuel between the two speeds.',
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
      message: `The fuel returns at ${resume.node.text}, which is not below the ${above.node.text} above which it is cut.`,
      related: [{ at: above.node, message: 'The cut begins here.' }],
    };
  }
  const related = idle ? [{ at: idle.node, message: 'The idle speed.' }] : [];
  if (above && idle && above.canonical <= idle.canonical) {
    yield {
      at: above.node,
      message: `The fuel is cut above ${above.node.text}, and the engine idles at ${idle.node.text}.`,
      related,
    };
  } else if (resume && idle && resume.canonical <= idle.canonical) {
    yield {
      at: resume.node,
      severity: 'warning',
      message: `The fuel returns only at ${resume.node.text}, and the engine idles at ${idle.node.text}: it may stop first.`,
      related,
    };
  }
}

const cutAtEach = judgeEach(function* (point: OperatingPoint): Iterable<Found> {
  const { above, below } = point.configuration.fuel?.overrun_cut ?? {};
  const [pressure, ambient] = [point.get(manifoldPressure), point.get(ambientPressure)];
  const { speed, throttle } = point.conditions;
  // With the throttle closed the cut is meant.
  if (throttle?.canonical === 0) return;
  if (!above || !below || !pressure || !ambient || !passes(speed.canonical, above.canonical)) return;
  const limit = below.canonical + (below.quantity.reference === 'gauge' ? ambient.canonical : 0);
  if (!passes(limit, pressure.canonical)) return;
  yield {
    at: below.node,
    message: `${point.name} runs at ${formatQuantity(speed.canonical, 'rpm')} and ${valueText(pressure)}, where the fuel is cut: above ${above.node.text} and below ${below.node.text}.`,
    related: [{ at: point.node, message: 'The operating point.' }],
  };
});
