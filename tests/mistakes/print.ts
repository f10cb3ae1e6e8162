import { readFileSync, writeFileSync } from 'node:fs';
import { mistakes, mistakesByClass, NOT_FOUND_FILE, notFoundYet } from './mistake.ts';
import { inWords, type Outcome, outcomeOf } from './trial.ts';

/** Prints how many mistakes of each class are found, and those that are not. */
export function print({ details, update }: { details: boolean; update: boolean }): void {
  const outcomes = new Map(mistakes.map((mistake) => [mistake, outcomeOf(mistake, { whole: details })]));
  const isFound = (outcome: Outcome | undefined): boolean => outcome!.near.length > 0;
  for (const [name, list] of mistakesByClass) {
    const found = list.filter((mistake) => isFound(outcomes.get(mistake)));
    console.log(`${name}: ${found.length} of ${list.length}`);
    for (const mistake of list.filter((one) => details || !found.includes(one))) {
      const { near, elsewhere } = outcomes.get(mistake)!;
      console.log(`  ${near.length > 0 ? 'found' : 'not found'}: ${mistake.title} (${mistake.engine})`);
      for (const finding of near.length > 0 ? near : elsewhere) console.log(`      ${inWords(finding)}`);
    }
  }
  const found = mistakes.filter((mistake) => isFound(outcomes.get(mistake)));
  const share = ((found.length / mistakes.length) * 100).toFixed(0);
  console.log(`All: ${found.length} of ${mistakes.length} found (${share} %)`);
  const titles = new Set(found.map(({ title }) => title));
  const listed = notFoundYet.filter((title) => titles.has(title));
  if (!update) {
    for (const title of listed) console.log(`Found, but in not-found.yaml: ${title}`);
    const missing = mistakes.filter(({ title }) => !titles.has(title) && !notFoundYet.includes(title));
    for (const { title } of missing) console.log(`Not found, and not in not-found.yaml: ${title}`);
    return;
  }
  const lines = readFileSync(NOT_FOUND_FILE, 'utf8').split('\n');
  writeFileSync(NOT_FOUND_FILE, lines.filter((line) => !titles.has(line.replace(/^- /, ''))).join('\n'));
  console.log(
    `${listed.length} titles removed from not-found.yaml, ${notFoundYet.length - listed.length} left.`,
  );
}
