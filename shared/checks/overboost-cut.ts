import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import type { Engine } from '../configuration/installation.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { absoluteAtSeaLevel, absoluteCut, targetCells } from '../derived/boost-target.ts';
import { SEA_LEVEL } from '../derived/full-load.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { splitUnit, toUnit } from '../quantity/index.ts';
import { replace } from '../source/edit.ts';
import type { Fix } from './check.ts';
import { areWrittenIn } from './tables.ts';
import { passes } from './threshold.ts';
import { formatNumber, percent } from './words.ts';

/** The scaling of a manifold pressure sensor and its ends, as absolute pressure. */
export interface Reach {
  readonly scaling: NonNullable<Sensor['scaling']>;
  readonly low: number;
  readonly high: number;
}

export function manifoldPressureReach({ sensors }: EngineConfiguration): Reach[] {
  return Object.values(sensors ?? {}).flatMap(({ measures, scaling }) => {
    if (measures?.text !== 'manifold_pressure' || !scaling || scaling.points.length < 2) return [];
    const ends = scaling.points.map(({ to }) => absoluteAtSeaLevel(to));
    return [{ scaling, low: minimumOf(ends), high: maximumOf(ends) }];
  });
}

/**
 * Lowers the cells of a boost target that leave too little room below the cut. The cut is a limit: nothing is offered that
 * raises it to fit a target.
 */
export function loweredTarget(engine: Engine, cut: QuantityValue, margin: number): Fix[] {
  const table = engine.configuration.boost?.target;
  const unit = table && splitUnit(table.unit);
  if (!unit) return [];
  const highest = Math.floor(absoluteCut(cut) / (1 + margin) / 1000 + 1e-9) * 1000;
  const over = targetCells(engine).filter(({ target }) => passes(target.canonical, highest));
  const nodes = over.map(({ cell }) => cell);
  const isBeside = nodes.every(({ chunk }) => chunk.file === cut.node.chunk.file);
  if (over.length === 0 || !isBeside || !areWrittenIn(table, nodes)) return [];
  const number = toUnit(unit.reference === 'gauge' ? highest - SEA_LEVEL : highest, table.unit);
  const text = formatNumber(Math.floor(number * 10 + 1e-6) / 10, 4);
  return [
    {
      title: `Lower ${counted(over.length, 'cell')} of the boost target to ${text} ${table.unit}, so that the cut is ${percent(margin)} higher`,
      safety: 'choice',
      edits: nodes.map((node) => replace(node, text)),
    },
  ];
}
