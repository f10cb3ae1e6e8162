import { engineVolume, turnsPerCycle } from '../derived/cylinder.ts';
import { lowerHeatingValue } from '../derived/fuel.ts';
import { brakeMeanEffectivePressure } from '../physics/cylinder.ts';
import { powerOfTorque } from '../physics/measured.ts';
import type { EngineParts } from './engine-parts.ts';
import { engineText } from './engine-text.ts';
import type { FoldOptions } from './fold-options.ts';
import { type Correction, PowerSum, USUAL_BIN } from './power.ts';
import type { RunSums } from './sums.ts';

/** The sums of a run before its first row. */
export function emptySums(
  { run, columns, engines, path, installation }: FoldOptions,
  { maps, watches }: EngineParts,
  correction: Correction | undefined,
  notes: readonly string[],
): RunSums {
  const { configuration } = engines[0]!;
  const volume = engineVolume(configuration)?.canonical;
  const revolutions = turnsPerCycle(configuration)?.canonical;
  return {
    files: [path],
    engine: engineText(installation),
    kind: run.kind?.text ?? 'brake',
    ...{ rows: 0, refused: [], refusedCount: 0, gaps: [], gapCount: 0 },
    columns: columns.all.map(({ name, quantity, unit }) => ({ name, quantity, unit })),
    ...{ steady: [], steadyCount: 0, steadyRows: 0, agreement: [], lights: [], lightCount: 0 },
    limits: watches.map(({ sum }) => sum),
    ...{ outside: [], outsideCount: 0 },
    filling: [...maps],
    power: new PowerSum(run.speed_bins?.canonical ?? USUAL_BIN),
    corrections: correction ? [correction] : [],
    perTorque:
      volume === undefined || revolutions === undefined
        ? undefined
        : brakeMeanEffectivePressure({
            power: powerOfTorque({ torque: 1, speed: 1000 }),
            revolutions,
            displacement: volume,
            speed: 1000,
          }),
    heatingValue: lowerHeatingValue(configuration)?.canonical,
    notes: [...notes, ...(correction ? [correction.note] : [])],
  };
}
