import type { EngineConfiguration } from '../../generated/configuration.ts';
import { reachedAdvanceCells } from '../derived/advance-cells.ts';
import { manifoldPressure } from '../derived/charge-air.ts';
import { memoByBreathing } from '../derived/core-engine.ts';
import { ignitionAdvance } from '../derived/ignition.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { maximumOf } from '../extremes.ts';
import { usualAdvance as usualAdvanceOf } from '../physics/margins.ts';
import type { Proof } from '../proof/proof.ts';
import type { Pause } from '../proof/search.ts';
import type { ScalarNode } from '../source/tree.ts';
import {
  boundClause,
  type Excess,
  engineReached,
  excessFinding,
  excessOf,
  isNumberAsFar,
  witnessFixes,
} from './beyond.ts';
import { boundCheck, type Check, type EngineSubject, engineCheck } from './check.ts';
import {
  ALCOHOLS,
  advanceBeyond,
  denseTargets,
  LOWEST_PRESSURE,
  type UsualAdvance,
  usualAdvance,
} from './dense-charge.ts';
import { furthestOfEachTable } from './furthest-cell.ts';
import { formatQuantity, formatStated } from './words.ts';

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
  readonly configuration: EngineConfiguration;
  /** The highest usual advance for the charge; infinite if unknown. */
  readonly usual: number;
}

/** The cells of an engine's advance map whose charge could detonate. */
const denseCells = memoByBreathing((engine): readonly DenseCell[] => {
  const cells: DenseCell[] = [];
  for (const { cell, point, fullLoad } of reachedAdvanceCells(engine)) {
    const pressure = point.get(manifoldPressure)?.canonical ?? 0;
    const advance = pressure < LOWEST_PRESSURE ? undefined : point.get(ignitionAdvance);
    const speed = point.conditions.speed.canonical;
    if (advance) cells.push({ cell, fullLoad, speed, pressure, advance: advance.canonical });
  }
  return cells;
});

/** The cells of the advance maps whose charge could detonate and that match `wanted`, each with its usual advance. */
function denseCharges(
  { installation }: EngineSubject,
  settings: UsualAdvance,
  wanted: 'beyond what is usual' | 'at full load',
): Charge[] {
  const charges: Charge[] = [];
  for (const engine of installation.selectable) {
    const { configuration, mapSet } = engine;
    const ratio = configuration.engine?.compression_ratio?.canonical;
    if (ratio === undefined) continue;
    const isAlcohol = ALCOHOLS.has(configuration.fuel?.grade?.text ?? '');
    for (const cell of denseCells(engine)) {
      const usual = isAlcohol
        ? Number.POSITIVE_INFINITY
        : usualAdvanceOf({
            highest: settings.highest,
            boostStep: settings.boost_step,
            pressure: cell.pressure,
            compressionStep: settings.compression_step,
            compressionRatio: ratio,
          });
      const isWanted = wanted === 'at full load' ? cell.fullLoad : cell.advance > usual;
      if (isWanted) charges.push({ ...cell, mapSet, configuration, usual });
    }
  }
  return charges;
}

/** ``at 5500 rpm, 150 kPa abs, map set `tow` `` */
function placeOf({ speed, pressure, mapSet }: Charge): string {
  const set = mapSet === undefined ? '' : `, map set \`${mapSet}\``;
  return `at ${formatStated(speed, 'rpm')}, ${formatStated(pressure, 'kPa abs')}${set}`;
}

/** Advance (deg) that is rounding. It lets a map that follows the usual advance exactly be proved within it. */
const NOTHING = 0.01;

/** The name of an operating point for such a state. */
const NAME = 'advance_beyond_usual';

/** A state whose advance is further beyond the usual than any cell shows. */
function* furtherState(
  subject: EngineSubject,
  proof: Proof,
  settings: UsualAdvance,
  furthestCell: number,
): Generator<Pause, Excess | undefined> {
  const value = advanceBeyond(settings);
  const counts = (point: OperatingPoint) => (point.number(manifoldPressure) ?? 0) >= LOWEST_PRESSURE;
  const excess = yield* excessOf(subject, proof, { value, side: 'high', limitOf: () => NOTHING, counts });
  return excess && !isNumberAsFar(furthestCell, { side: 'high', reached: excess.reached })
    ? excess
    : undefined;
}

export const advanceTooHighForCharge: Check = boundCheck({
  id: 'advance-too-high-for-charge',
  severity: 'warning',
  title: 'Advance too high for the charge',
  page: {
    catches:
      'A cell of the advance map, reachable at sea level on a standard day, or any other state in the envelope, with more advance than is usual for its manifold pressure and the compression ratio. Charge temperature retard is subtracted first, so a cold day can have more advance than the standard day. Manifold pressures below 80 kPa abs and engines on alcohol (`e85`, `ethanol`, `methanol`) are not checked.',
    why: 'Boost and compression make the charge dense and hot. If the spark is too early, the charge detonates before the flame has crossed it, and detonation at full load holes a piston within seconds.',
    example:
      'engine: { compression_ratio: 9.0, ... }\nignition:\n  advance: { ... }   # 32 deg at 5500 rpm and 150 kPa abs, where 24 deg is usual',
    remedy:
      'Reduce the advance in the cells at high manifold pressure, and use a dynamometer with knock detection to find what the engine really tolerates. If it demonstrably tolerates more, change the thresholds and give that as the reason.',
    basis:
      'Common practice, no source: about 2 deg less per 10 kPa of boost (1.4 deg per psi) and per unit of compression ratio. This trend finds errors; it does not give the right advance for any engine.',
  },
  settings: usualAdvance,
  targets: (settings) => denseTargets(advanceBeyond(settings)),
  *find(subject, proof, settings) {
    const offenders = denseCharges(subject, settings, 'beyond what is usual').map((charge) => ({
      cell: charge.cell,
      excess: charge.advance - charge.usual,
      charge,
    }));
    const state = yield* furtherState(
      subject,
      proof,
      settings,
      maximumOf(offenders.map((one) => one.excess)),
    );
    const map = state && engineReached(subject, state).ignition?.advance;
    const fixes = state ? witnessFixes(subject, state, NAME) : [];
    const ratio = subject.installation.configuration.engine?.compression_ratio;
    const related = ratio ? [{ at: ratio.node, message: 'The compression ratio.' }] : [];
    const deg = (angle: number) => formatQuantity(angle, 'deg', 3);
    let isShown = false;
    for (const { worst, others } of furthestOfEachTable(offenders)) {
      const isOfState = state?.verdict === 'broken' && map?.rows.flat().includes(worst.cell);
      isShown ||= isOfState === true;
      const further = isOfState
        ? ` The excess reaches ${deg(state.reached)} ${state.where}${boundClause(state, 'has')}.`
        : '';
      yield {
        at: worst.cell,
        message: `Advance is ${deg(worst.charge.advance)} ${placeOf(worst.charge)}${others}; the usual maximum there is ${deg(worst.charge.usual)} with a compression ratio of ${ratio?.node.text}.${further}`,
        related,
        fixes: isOfState ? fixes : [],
      };
    }
    if (isShown) return;
    yield* excessFinding(subject, state, ({ ignition }, { reached, where }) => {
      const node = ignition?.advance?.node;
      return (
        node && {
          ...{
            at: node,
            label: 'advance beyond the usual maximum',
            name: NAME,
            verb: 'exceeds it by',
            related,
          },
          message: `Advance exceeds the usual maximum for a compression ratio of ${ratio?.node.text} by ${deg(reached)} ${where}`,
        }
      );
    });
  },
});

export const knockRetardAuthority: Check = engineCheck({
  id: 'knock-retard-authority',
  severity: 'warning',
  title: 'Knock loop authority too small',
  page: {
    catches:
      'A `closed_loop.knock.maximum_retard` too small for poor fuel and hot air at full load. The check examines the cells of the advance map that the engine reaches at sea level on a standard day. The advance that poor fuel and hot air require is that of the cell, or the usual advance for the charge if that is lower, minus the setting `reserve`, but not less than 0 deg. If `ignition.advance_range` allows less retard than `maximum_retard`, the smaller retard counts.',
    why: 'The map is calibrated with good fuel on a cool day. With poorer fuel, the loop must remove all excess advance. At the end of its authority the engine continues to detonate, and the controller has nothing left to reduce.',
    example: 'closed_loop:\n  knock: { sensor: knock, retard_step: 2 deg, maximum_retard: 3 deg }',
    remedy:
      'Raise `maximum_retard`, lower the lower end of `advance_range`, or reduce the advance in the map.',
    basis: 'Common practice, no source.',
  },
  settings: {
    reserve: {
      kind: 'angle',
      value: '8 deg',
      meaning: 'Reduction of advance that poor fuel and a hot charge require at full load.',
    },
    ...usualAdvance,
  },
  *find(subject, { reserve, ...settings }) {
    const worst = denseCharges(subject, settings, 'at full load')
      .flatMap((charge) => {
        const { closed_loop: loops, ignition } = charge.configuration;
        const retard = loops?.knock?.maximum_retard;
        if (!retard) return [];
        const floor = ignition?.advance_range?.low.canonical ?? Number.NEGATIVE_INFINITY;
        const required = Math.max(0, Math.min(charge.advance, charge.usual) - reserve);
        const authority = Math.max(0, Math.min(retard.canonical, charge.advance - floor));
        // In hundredths of a degree; anything smaller is rounding.
        const missing = Math.round((charge.advance - required - authority) * 100);
        return [{ charge, retard, required, authority, missing }];
      })
      .sort((a, b) => b.missing - a.missing || b.charge.pressure - a.charge.pressure)[0];
    if (!worst || worst.missing <= 0) return;
    const { charge, retard, required, authority } = worst;
    const deg = (angle: number) => formatQuantity(angle, 'deg', 3);
    const stopped =
      authority < retard.canonical ? ', because the advance is then at the lower limit of its range' : '';
    yield {
      at: retard.node,
      message: `Full-load advance at sea level is ${deg(charge.advance)} ${placeOf(charge)}. Poor fuel and hot air require ${deg(required)}, a retard of ${deg(charge.advance - required)}, but the loop may retard by at most ${deg(authority)}${stopped}.`,
      related: [{ at: charge.cell, message: 'The advance at this point.' }],
    };
  },
});
