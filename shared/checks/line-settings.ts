import type { SettingsOf } from './thresholds.ts';

/**
 * The settings of `table-line-outlier`, for every check of rows and columns and for those that leave out what these
 * report.
 */
export const lineSettings = {
  id: 'table-line-outlier',
  settings: {
    size: {
      kind: 'ratio',
      value: '3 %',
      meaning:
        'Smallest deviation that is reported, relative to the middle cell of the line. It does not apply to angles and gauge pressures.',
    },
    range: {
      kind: 'ratio',
      value: '4 %',
      meaning: 'Smallest deviation that is reported, relative to the range of the values in the table.',
    },
    roughness: {
      kind: 'number',
      value: '1',
      meaning: 'Allowed deviation, as a multiple of the median deviation of the other lines.',
    },
    edge: {
      kind: 'number',
      value: '2.5',
      meaning:
        'How many times larger the deviation must be at the first and last line, and at the second and second-last line unless the table turns back there.',
    },
  },
} as const satisfies SettingsOf;
