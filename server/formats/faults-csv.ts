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

/** For a spreadsheet: one line for each effect and each bound of the envelope, or one for a fault without effects. */
export const faultsCsv: Format<FaultsReport> = {
  write: ({ files }) =>
    csvText([
      HEAD,
      ...files.flatMap(({ name, rows }) =>
        rows.flatMap(({ of, fault, noticed, severity, effects, lost, toldBy, stated, bounds }) => {
          const before = [name, of, fault, String(noticed), severity];
          const after = [lost.join(' '), toldBy.join(' '), stated ?? ''];
          const ofBounds = (bounds ?? []).map(({ id, side, mapSet, bound, unit }) => [
            ...[`envelope ${side}${mapSet === undefined ? '' : ` ${mapSet}`}`, id, '', bound, unit || '1'],
          ]);
          const ofPoints = effects.map(({ at, id, normal, value }) => [
            at,
            id,
            normal?.canonical ?? '',
            value.canonical,
            value.unit || '1',
          ]);
          const values = [...ofPoints, ...ofBounds];
          return (values.length > 0 ? values : [['', '', '', '', '']]).map((one) => [
            ...before,
            ...one,
            ...after,
          ]);
        }),
      ),
    ]),
};
