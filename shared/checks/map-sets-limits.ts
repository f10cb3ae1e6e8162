import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Engine } from '../configuration/installation.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { absoluteAtSeaLevel, type TargetCell, targetCells } from '../derived/boost-target.ts';
import { mapSetChanges } from '../derived/map-sets.ts';
import {
  axisOf,
  type Direction,
  isBeyond,
  type Level,
  type Limit,
  limitsOf,
  referenceOf,
  type Threshold,
  thresholdAt,
  thresholdsOf,
} from '../derived/protection.ts';
import { memo } from '../memo.ts';
import { measuredQuantity } from '../quantity/index.ts';
import type { Node } from '../source/tree.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { inUnitOf } from './protection-words.ts';
import { formatStated } from './words.ts';

/** The limits that are single values; for all of them, higher is looser. */
const stated: Readonly<Record<string, (configuration: EngineConfiguration) => QuantityValue | undefined>> = {
  'maximum speed': ({ engine }) => engine?.maximum_speed,
  'overboost cut': ({ boost }) => boost?.overboost_cut,
  'maximum duty': ({ fuel }) => fuel?.injectors?.maximum_duty,
  'limit of the exhaust temperature loop': ({ closed_loop }) => closed_loop?.exhaust_gas_temperature?.limit,
  'lean limit of the exhaust temperature loop': ({ closed_loop }) =>
    closed_loop?.exhaust_gas_temperature?.lean_limit,
  'lean limit of the lambda loop': ({ closed_loop }) => closed_loop?.lambda?.lean_limit,
};

/** The limits that a map set loosens. */
function* loosened(base: EngineConfiguration, { mapSet, configuration }: Engine): Generator<Found> {
  for (const [label, get] of Object.entries(stated)) {
    const [own, before] = [get(configuration), get(base)];
    if (!own || !before || absoluteAtSeaLevel(own.quantity) <= absoluteAtSeaLevel(before.quantity)) continue;
    yield loosening(own.node, before.node, label, mapSet!, [before.node.text, own.node.text]);
  }
  const [range, baseRange] = [configuration.ignition?.advance_range, base.ignition?.advance_range];
  if (range && baseRange && range.high.canonical > baseRange.high.canonical) {
    const texts = [baseRange.node.text, range.node.text] as const;
    yield loosening(range.node, baseRange.node, 'advance range', mapSet!, texts);
  }
  for (const [own, before] of limitPairs(base, configuration)) {
    for (const { level, threshold } of thresholdsOf(own)) {
      const old = before[level];
      if (!old) continue;
      const moved = movedBeyond(own.direction, threshold, old);
      if (!moved) continue;
      const texts = [inUnitOf(old, moved.before), inUnitOf(threshold, moved.after)] as const;
      yield loosening(threshold.node, old.node, `${level} of ${quote(own.name)}`, mapSet!, texts);
    }
  }
}

function loosening(
  at: Node,
  base: Node,
  label: string,
  set: string,
  [before, after]: readonly [string, string],
): Found {
  return {
    at,
    message: `Map set ${quote(set)} loosens the ${label} from ${before} to ${after}.`,
    related: [{ at: base, message: 'The limit outside the map sets.' }],
  };
}

/** The limits of a map set, each with the limit of the same name and direction outside the map sets. */
function limitPairs(base: EngineConfiguration, set: EngineConfiguration): [Limit, Limit][] {
  if (set.protection === base.protection) return [];
  const before = limitsByName(limitsOf(base));
  return limitsOf(set).flatMap((own) => {
    const same = before.get(nameAndDirection(own));
    return same ? [[own, same] as [Limit, Limit]] : [];
  });
}

const nameAndDirection = ({ name, direction }: Limit): string => `${direction} ${name}`;

const limitsByName = memo(
  (limits: readonly Limit[]) => new Map(limits.map((limit) => [nameAndDirection(limit), limit])),
);

/** The first place where one threshold is beyond the other; undefined if there is none or they cannot be compared. */
function movedBeyond(
  direction: Direction,
  after: Threshold,
  before: Threshold,
): { before: number; after: number } | undefined {
  if (referenceOf(after) !== referenceOf(before)) return undefined;
  const axes = [after, before].flatMap((one) => (one.type === 'table' ? (one.x ?? []) : []));
  if (new Set(axes.map(({ quantity, reference }) => `${quantity} ${reference}`)).size > 1) return undefined;
  const places = axes.length > 0 ? axes.flatMap(({ breakpoints }) => breakpoints) : [undefined];
  for (const x of places) {
    const pair = { before: thresholdAt(before, x), after: thresholdAt(after, x) };
    if (pair.before === undefined || pair.after === undefined) continue;
    if (isBeyond(direction, pair.after, pair.before)) return pair as { before: number; after: number };
  }
  return undefined;
}

/** The highest cell of the boost target. */
const highestOf = (engine: Engine): TargetCell | undefined =>
  targetCells(engine).reduce<TargetCell | undefined>(
    (most, cell) => (most && most.target.canonical >= cell.target.canonical ? most : cell),
    undefined,
  );

/** A boost target of a map set above a manifold pressure limit of the engine. */
function* targetBeyond(base: Engine, engine: Engine): Generator<Found> {
  const [own, before] = [highestOf(engine), highestOf(base)];
  if (!own) return;
  for (const limit of limitsOf(base.configuration)) {
    if (measuredQuantity(limit.watches)?.entry.name !== 'manifold_pressure') continue;
    if (limit.direction === 'below' || axisOf(limit)) continue;
    const passed = (cell: TargetCell | undefined, level: Level) =>
      cell &&
      limit[level]?.type === 'quantity' &&
      cell.target.canonical > absoluteAtSeaLevel(limit[level].quantity);
    const level = (['warning', 'caution'] as const).find((one) => passed(own, one) && !passed(before, one));
    const threshold = level && limit[level];
    if (!threshold) continue;
    yield {
      at: own.cell,
      severity: level === 'warning' ? 'error' : 'warning',
      message: `The boost target of map set ${quote(engine.mapSet!)} reaches ${formatStated(own.target.canonical, 'kPa abs')}, above the ${level} of ${quote(limit.name)} at ${inUnitOf(threshold, thresholdAt(threshold, undefined)!)}.`,
      related: [{ at: threshold.node, message: `The ${level} outside the map sets.` }],
    };
  }
}

export const mapSetExceedsBaseLimit: Check = engineCheck({
  id: 'map-set-exceeds-base-limit',
  severity: 'warning',
  title: 'Map set exceeds engine limits',
  page: {
    catches:
      'A map set that loosens a limit stated outside the map sets: maximum speed, overboost cut, maximum duty, advance range, exhaust gas temperature and lean limits, cautions and warnings. Also a map set whose boost target exceeds a caution or warning that the target outside the map sets respects.',
    why: 'The limits stated outside the map sets are those of the engine. A panel switch changes what is demanded of the engine, not what it tolerates.',
    example:
      'boost: { overboost_cut: 160 kPa abs }\nmap_sets:\n  sets:\n    tow: { when: closed, apply: { boost: { overboost_cut: 190 kPa abs } } }',
    remedy:
      'Remove the limit from the map set. If the limits really differ, write the looser one outside the map sets, with a comment that says why.',
    basis: 'Common practice, no source.',
  },
  *find({ installation }) {
    const [base, ...sets] = installation.engines;
    if (!base) return;
    const ownTarget = new Set(
      mapSetChanges(installation).flatMap(({ changes, path, set }) =>
        changes && path === 'boost.target' ? set : [],
      ),
    );
    for (const engine of sets) {
      yield* loosened(base.configuration, engine);
      if (ownTarget.has(engine.mapSet!)) yield* targetBeyond(base, engine);
    }
  },
});
