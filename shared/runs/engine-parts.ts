import { fuelDensity } from '../derived/fuel.ts';
import { nominalVoltage } from '../derived/operating-point.ts';
import { envelopeOf, VARIABLES, type Variable } from '../proof/envelope.ts';
import { Agreement } from './agreement.ts';
import { FillingSum, fillingMapOf } from './filling-sum.ts';
import type { FoldOptions } from './fold-options.ts';
import type { Instruments } from './instruments.ts';
import type { LimitWatch } from './limit-watch.ts';
import { watchesOf } from './limits.ts';
import { ceilingOf, OutsideWatch, QUANTITIES } from './outside.ts';
import { RowModel } from './row-model.ts';
import type { RowPlaces } from './row-places.ts';
import type { Logged } from './row-values.ts';
import { bandsOf } from './setup.ts';

/** Everything that depends on the engine of a row. */
export interface OfEngine {
  readonly model: RowModel;
  readonly watches: readonly LimitWatch[];
  readonly outside: OutsideWatch | undefined;
  readonly agreement: Agreement;
  readonly filling: FillingSum | undefined;
  readonly density: number;
  readonly nominalVoltage: number;
}

export interface EngineParts {
  readonly engines: readonly OfEngine[];
  /** One sum of each map of volumetric efficiency, which map sets may share. */
  readonly maps: readonly FillingSum[];
  /** Of all engines; map sets share the limits that they do not change. */
  readonly watches: readonly LimitWatch[];
}

/** The parts of each engine of a run. `power` reads the brake power at the crankshaft. */
export function partsOfEngines(
  { run, engines, columns, points }: FoldOptions,
  places: RowPlaces,
  logged: Logged,
  instruments: Instruments,
  power: (row: Float64Array) => number,
): EngineParts {
  const maps = new Map<unknown, FillingSum>();
  const watches = new Map<string, LimitWatch>();
  const found = engines.map((engine): OfEngine => {
    const table = engine.configuration.fuel?.volumetric_efficiency;
    const map = fillingMapOf(table);
    if (map && !maps.has(table)) maps.set(table, new FillingSum(map));
    const envelope = envelopeOf(engine, points);
    const slack = (name: Variable) => {
      // A deviation is not logged itself.
      const quantity = name === 'isa_deviation' ? 'ambient_temperature' : QUANTITIES[name][0];
      return (value: number) => instruments.accuracy(quantity, value) + instruments.digits(quantity);
    };
    return {
      model: new RowModel(engine, logged),
      watches: watchesOf(engine, columns, places)
        .map((watch) => {
          const same = watches.get(watch.sum.at);
          if (!same) watches.set(watch.sum.at, watch);
          return same ?? watch;
        })
        .filter(({ sum }) => sum.isLogged),
      outside:
        envelope &&
        new OutsideWatch(
          envelope,
          Object.fromEntries(VARIABLES.map((name) => [name, slack(name)])) as OutsideWatch['slack'],
          ceilingOf(engine, envelope),
          bandsOf(run).pressure,
        ),
      agreement: new Agreement(
        engine.configuration,
        places,
        power,
        (quantity, value) => instruments.accuracy(quantity, value),
        (quantity, value) => instruments.digitsAt(quantity, value),
      ),
      filling: maps.get(table),
      density: fuelDensity(engine.configuration)?.canonical ?? Number.NaN,
      nominalVoltage: nominalVoltage(engine.configuration).canonical,
    };
  });
  return { engines: found, maps: [...maps.values()], watches: [...watches.values()] };
}
