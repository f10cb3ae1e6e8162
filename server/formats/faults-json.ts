import type { FaultRow } from '../../shared/faults/table.ts';
import type { FaultsOfFile, FaultsReport } from './faults-report.ts';
import type { Format } from './format.ts';
import { boundOf } from './prove-json.ts';

/** For programs. Values and units as in the JSON of `derive`; bounds as in that of `prove`. */
export const faultsJson: Format<FaultsReport> = {
  write: ({ files }) => `${JSON.stringify({ files: files.map(fileOf) }, null, 2)}\n`,
};

const fileOf = ({ name, rows }: FaultsOfFile) => ({ path: name, rows: rows.map(rowOf) });

function rowOf({ of, fault, noticed, effects, lost, toldBy, severity, stated, bounds }: FaultRow) {
  return {
    of,
    fault,
    noticed,
    effects: effects.map(({ at, id, normal, value }) => ({
      at,
      id,
      normal: normal?.canonical ?? null,
      value: value.canonical,
      unit: value.unit || '1',
    })),
    lost,
    told_by: toldBy,
    severity,
    stated: stated ?? null,
    ...(bounds && { bounds: bounds.map(boundOf) }),
  };
}
