import type { DerivedValue } from '../../shared/derived/value.ts';
import { citation } from '../../shared/physics/citation.ts';
import { plain } from '../markdown.ts';
import { moversOf, moversText } from '../sensitivity-words.ts';
import {
  type DeriveReport,
  notesOf,
  originsOf,
  placesIn,
  resultsIn,
  sourcesOf,
  type ValueGroup,
} from './derive-report.ts';
import type { Format } from './format.ts';

/** For a document or a review: one table per group, the sources as a list at the end. */
export const deriveMarkdown: Format<DeriveReport> = {
  write(report) {
    const groups = report.groups.map((group) => groupText(group));
    const list = sourcesOf(report).map((key) => `- **${key}** ${plain(citation(key))}`);
    const sources = list.length > 0 ? [`## Sources\n\n${list.join('\n')}\n`] : [];
    return [`# ${plain(report.name)}\n`, ...groups, ...sources].join('\n');
  },
};

function groupText(group: ValueGroup): string {
  const { title, conditions, values } = group;
  const state = conditions.length > 0 ? `${conditions.map(plain).join(' · ')}\n\n` : '';
  const placeOf = placesIn(group);
  const resultOf = resultsIn(values);
  const rows = values
    .map((value) => row(value, resultOf(value), placeOf(value), moversText(moversOf(value))))
    .join('\n');
  return `## ${plain(title)}\n\n${state}| Value | Result | Formula | Source |\n|---|---:|---|---|\n${rows}\n`;
}

function row(
  value: DerivedValue,
  result: string,
  place: string | undefined,
  movers: string | undefined,
): string {
  const remarks = [
    ...(place ? [place] : []),
    ...originsOf(value),
    ...notesOf(value),
    ...(movers === undefined ? [] : [movers]),
  ];
  const working = [value.formula, `= ${value.substituted}`, ...remarks];
  const cells = [[value.label], [result], working, [value.sources.join(', ')]];
  return `| ${cells.map((lines) => lines.map(plain).join('<br>')).join(' | ')} |`;
}
