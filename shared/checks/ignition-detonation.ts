import { reachedAdvanceCells } from '../derived/advance-cells.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { ofBreathing } from '../derived/core-engine.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { ScalarNode } from '../source/tree.ts';
import { type Check, type EngineSubject, engineCheck } from './check.ts';
import { formatQuantity } from './words.ts';
import { worstOfEachTable } from './worst-cell.ts';

/** The charge at which practice states its highest advance; from here it is lowered. */
const REFERENCE_COMPRESSION_RATIO = 9;
const REFERENCE_PRESSURE = 100e3;
const BOOST_STEP = 10e3;

/** Below this manifold pressure (Pa) the charge is too thin to detonate. */
const LEAST_PRESSURE = 80e3;

/** Fuels that stand so much more than gasoline that the settings say nothing about them. */
const ALCOHOLS = new Set(['e85', 'ethanol', 'methanol']);

const usualAdvance = {
  highest: {
    kind: 'angle',
    value: '34 deg',
    meaning: 'The most advance that is usual at a compression ratio of 9 and 100 kPa abs, on gasoline.',
  },
  boost_step: { kind: 'angle', value: '2 deg', meaning: 'How much less for each 10 kPa over 100 kPa abs.' },
  compression_step: {
    kind: 'angle',
    value: '2 deg',
    meaning: 'How much less for each unit of compression ratio over 9.',
  },
} as const;

type UsualAdvance = Readonly<Record<keyof typeof usualAdvance, number>>;

/** A cell whose charge could detonate. */
interface DenseCell {
  readonly cell: ScalarNode;
  readonly fullLoad: boolean;
  /** In rpm. */
  readonly speed: number;
  /** Manifold pressure, in Pa. */
  readonly pressure: number;
  readonly advance: number;
}

interface Charge extends DenseCell {
  readonly mapSet: string | undefined;
  /** The most advance that practice gives such a charge; infinite where it is not known. */
  readonly usual: number;
}

/** The cells of an engine's advance map whose charge could detonate. */
const denseCells = ofBreathing((engine): readonly DenseCell[] => {
  const cells: DenseCell[] = [];
  for (const { cell, point, fullLoad } of reachedAdvanceCells(engine)) {
    const pressure = point.get(manifoldPressure)?.canonical ?? 0;
    const advance = pressure < LEAST_PRESSURE ? undefined : point.get(ignitionAdvance);
    const speed = point.conditions.speed.canonical;
    if (advance) cells.push({ cell, fullLoad, speed, pressure, advance: advance.canonical });
  }
  return cells;
});

/** Of every cell of the advance maps whose charge could detonate, those that are meant, with the advance that is usual there. */
function denseCharges(
  { installation }: EngineSubject,
  settings: UsualAdvance,
  meant: 'beyond what is usual' | 'at full load',
): Charge[] {
  const charges: Charge[] = [];
  for (const engine of installation.selectable) {
    const { configuration, mapSet } = engine;
    const ratio = configuration.engine?.compression_ratio?.canonical;
    if (ratio === undefined) continue;
    const isAlcohol = ALCOHOLS.has(configuration.fuel?.grade?.text ?? '');
    const forCompression = (ratio - REFERENCE_COMPRESSION_RATIO) * settings.compression_step;
    for (const cell of denseCells(engine)) {
      const forBoost = ((cell.pressure - REFERENCE_PRESSURE) / BOOST_STEP) * settings.boost_step;
      const usual = isAlcohol ? Number.POSITIVE_INFINITY : settings.highest - forCompression - forBoost;
      const isMeant = meant === 'at full load' ? cell.fullLoad : cell.advance > usual;
      if (isMeant) charges.push({ ...cell, mapSet, usual });
    }
  }
  return charges;
}

/** `at 5500 rpm, 150 kPa abs, map set tow` */
function placeOf({ speed, pressure, mapSet }: Charge): string {
  const set = mapSet === undefined ? '' : `, map set ${mapSet}`;
  return `at ${formatQuantity(speed, 'rpm')}, ${formatQuantity(pressure, 'kPa abs')}${set}`;
}

export const advanceTooHighForCharge: Check = engineCheck({
  id: 'advance-too-high-for-charge',
  severity: 'warning',
  title: 'More advance than such a charge usually stands',
  page: {
    catches:
      'A cell of the advance map, reachable at sea level on a standard day, with more advance than is usual for its manifold pressure and the compression ratio. Charge temperature retard is taken off first. Cells below 80 kPa abs and engines on alcohol (e85, ethanol, methanol) are not judged.',
    why: 'Boost and compression make the charge dense and hot. Sparked early it detonates before the flame has crossed it, and detonation at full load holes a piston within seconds.',
    example:
      'engine: { compression_ratio: 9.0, ... }\nignition:\n  advance: { ... }   # 32 deg at 5500 rpm and 150 kPa abs, where 24 deg is usual',
    remedy:
      'Take advance out of the cells at high manifold pressure, and find what the engine really stands on a brake with knock detection. An engine that has shown that it stands more states its own settings with that reason.',
    basis:
      'Common practice, no source: about 2 deg less for each 10 kPa of boost (1.4 deg a psi) and for each unit of compression ratio. A trend to catch slips, no advice for any engine.',
  },
  settings: usualAdvance,
  *find(subject, settings) {
    const offenders = denseCharges(subject, settings, 'beyond what is usual').map((charge) => ({
      cell: charge.cell,
      excess: charge.advance - charge.usual,
      charge,
    }));
    const ratio = subject.installation.configuration.engine?.compression_ratio;
    for (const { worst, others } of worstOfEachTable(offenders)) {
      yield {
        at: worst.cell,
        message: `The spark comes ${formatQuantity(worst.charge.advance, 'deg', 3)} before top dead centre ${placeOf(worst.charge)}${others}; at compression ratio ${ratio?.node.text} no more than ${formatQuantity(worst.charge.usual, 'deg', 3)} is usual there.`,
        related: ratio ? [{ at: ratio.node, message: 'The compression ratio.' }] : [],
      };
    }
  },
});

export const knockRetardAuthority: Check = engineCheck({
  id: 'knock-retard-authority',
  severity: 'warning',
  title: 'Knock loop cannot retard to a safe advance',
  page: {
    catches:
      'A `closed_loop.knock.maximum_retard` that, at full load, does not bring the spark down to a safe advance: the map’s, or what is usual for the charge where that is less, with a reserve for poor fuel and hot air taken off, but never below 0 deg. Where `ignition.advance_range` stops the retard earlier, that counts.',
    why: 'The map is set on good fuel and a cool day. When the tank holds less, the loop must take out all that is too much; at the end of its authority the engine detonates on, and the controller believes that it has done its part.',
    example: 'closed_loop:\n  knock: { sensor: knock, retard_step: 2 deg, maximum_retard: 3 deg }',
    remedy: 'Give the loop more retard, lower the end of `advance_range`, or take advance out of the map.',
    basis: 'Common practice, no source.',
  },
  settings: {
    reserve: {
      kind: 'angle',
      value: '8 deg',
      meaning: 'Advance that poor fuel and a hot charge ask to remove at full load.',
    },
    ...usualAdvance,
  },
  *find(subject, { reserve, ...settings }) {
    const { configuration } = subject.installation;
    const retard = configuration.closed_loop?.knock?.maximum_retard;
    if (!retard) return;
    const floor = configuration.ignition?.advance_range?.low.canonical ?? Number.NEGATIVE_INFINITY;
    const worst = denseCharges(subject, settings, 'at full load')
      .map((charge) => {
        const safe = Math.max(0, Math.min(charge.advance, charge.usual) - reserve);
        const authority = Math.max(0, Math.min(retard.canonical, charge.advance - floor));
        // Hundredths of a degree are rounding.
        const missing = Math.round((charge.advance - safe - authority) * 100);
        return { charge, safe, authority, missing };
      })
      .sort((a, b) => b.missing - a.missing || b.charge.pressure - a.charge.pressure)[0];
    if (!worst || worst.missing <= 0) return;
    const { charge, safe, authority } = worst;
    const deg = (angle: number) => formatQuantity(angle, 'deg', 3);
    const stopped = authority < retard.canonical ? ', as the advance range ends there' : '';
    yield {
      at: retard.node,
      message: `Full load ${placeOf(charge)} has ${deg(charge.advance)} of advance; ${deg(safe)} is safe on poor fuel and hot air, which takes ${deg(charge.advance - safe)} of retard, and the loop may take ${deg(authority)}${stopped}.`,
      related: [{ at: charge.cell, message: 'The advance stands here.' }],
    };
  },
});
