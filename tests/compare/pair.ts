import { readFileSync } from 'node:fs';
import { type Analysis, analyse } from '../../shared/analysis.ts';
import { type Comparison, compareAnalyses } from '../../shared/compare/comparison.ts';
import type { FindingConsequence } from '../../shared/compare/findings.ts';
import type { ValueConsequence } from '../../shared/compare/values.ts';
import { changeText, placeName } from '../../shared/compare/words.ts';
import { pathText } from '../../shared/source/tree.ts';
import { projectOf } from '../support/fixture.ts';

/** The complete, fault-free installation of the fixtures. */
export const complete = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');
export const completeController = readFileSync(
  new URL('../fixtures/complete.controller.yaml', import.meta.url),
  'utf8',
);

export function analysisOf(text: string, name = 'a.engine.yaml'): Analysis {
  return analyse(projectOf(new Map([[name, text]])), `/installation/${name}`)!;
}

export function compareTexts(was: string, is: string, name = 'a.engine.yaml'): Comparison {
  return compareAnalyses(analysisOf(was, name), analysisOf(is, name));
}

/** The complete installation compared with itself after replacing parts of its text, each of which must exist. */
export function changed(...replacements: readonly (readonly [from: string, to: string])[]): Comparison {
  return compareTexts(complete, edited(complete, replacements));
}

export function edited(text: string, replacements: readonly (readonly [from: string, to: string])[]): string {
  return replacements.reduce((edit, [from, to]) => {
    if (!edit.includes(from)) throw new Error(`the text does not hold ${from}`);
    return edit.replace(from, to);
  }, text);
}

/** `TYPE PATH: text`, readable in a failing test. */
export function told({ changes }: Comparison): string[] {
  return changes.map(
    (change) => `${change.type} ${pathText((change.is ?? change.was)!.path)}: ${changeText(change)}`,
  );
}

export function names({ changes }: Comparison): string[] {
  return changes.map((change) => placeName((change.is ?? change.was)!));
}

export function valuesIn({ consequences }: Comparison): ValueConsequence[] {
  return consequences.filter((one) => one.type === 'value');
}

export function findingsIn({ consequences }: Comparison): FindingConsequence[] {
  return consequences.filter((one) => one.type === 'finding');
}
