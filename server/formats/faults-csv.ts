import { csvText } from './csv-text.ts';
import type { FaultsReport } from './faults-report.ts';
import type { Format } from './format.ts';

const HEAD = [
  'path',
  'of',
  'fault',
  'noticed',
  'severity',
  'at',
  'id',
  'normal',
  'value',
  'unit',
  'lost',
  'told_by',
  'stated',
];

/** For a spreadsheet: one line for each effect, or one for a fault without effects. */
export const faultsCsv: Format<FaultsReport> = {
  write: ({ files }) =>
    csvText([
      HEAD,
      ...files.flatMap(({ name, rows }) =>
        rows.flatMap(({ of, fault, noticed, severity, effects, lost, toldBy, stated }) => {
          const before = [name, of, fault, String(noticed), severity];
          const after = [lost.join(' '), toldBy.join(' '), stated ?? ''];
          const values = effects.map(({ at, id, normal, value }) => [
            at,
            id,
            normal?.canonical ?? '',
            value.canonical,
            value.unit || '1',
          ]);
          return (values.length > 0 ? values : [['', '', '', '', '']]).map((one) => [
            ...before,
            ...one,
            ...after,
          ]);
        }),
      ),
    ]),
};
