import type { DerivedValue } from '../../shared/derived/value.ts';
import { citationsOf, type DeriveReport } from './derive-report.ts';
import type { Format } from './format.ts';

/**
 * For programs. The shape is part of the format page; keys may be added, none taken away. JSON has no infinity:
 * where a value is infinite (a duty without any flow), it is null, and `substituted` says so.
 */
export const deriveJson: Format<DeriveReport> = {
  write: ({ name, groups }) => {
    const values = groups.flatMap((group) => group.values.map(entryOf));
    return `${JSON.stringify({ file: name, values }, null, 2)}\n`;
  },
};

function entryOf(value: DerivedValue) {
  const { id, at, label, canonical, unit, formula, substituted, note } = value;
  const source = citationsOf([value]);
  return {
    id,
    at,
    label,
    value: canonical,
    unit: unit || '1',
    formula,
    substituted,
    source,
    ...(note && { note }),
  };
}
