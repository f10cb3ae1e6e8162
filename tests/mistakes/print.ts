import { readFileSync, writeFileSync } from 'node:fs';
import type { Finding } from '../../shared/checks/finding.ts';
import {
  falseAlarms,
  mistakes,
  mistakesByClass,
  NOT_FOUND_FILE,
  notFoundYet,
  soundChanges,
  soundEngines,
  soundNames,
} from './mistake.ts';
import {
  alarmName,
  findingsAfter,
  findingsOnOtherAxes,
  graveFindings,
  inWords,
  outcomeOf,
  soundAnalysis,
} from './trial.ts';

/** Prints how many mistakes of each class are found, those that are not, and false alarms. */
export function print({ details, update }: { details: boolean; update: boolean }): void {
  const found = new Set([...mistakesByClass].flatMap(([name, list]) => printClass(name, list, details)));
  const share = ((found.size / mistakes.length) * 100).toFixed(0);
  console.log(`All: ${found.size} of ${mistakes.length} found (${share} %)`);
  if (update) removeFound(found);
  else printUnlisted(found);
  printFalseAlarms();
}

/** Prints the recall of one class. Returns the titles of the mistakes that are found. */
function printClass(name: string, list: typeof mistakes, details: boolean): string[] {
  const outcomes = list.map((mistake) => ({ mistake, ...outcomeOf(mistake, { whole: details }) }));
  const found = outcomes.filter(({ near }) => near.length > 0).map(({ mistake }) => mistake.title);
  console.log(`${name}: ${found.length} of ${list.length}`);
  for (const { mistake, near, elsewhere } of outcomes) {
    const isFound = near.length > 0;
    if (isFound && !details) continue;
    console.log(`  ${isFound ? 'found' : 'not found'}: ${mistake.title} (${mistake.engine})`);
    printFindings(isFound ? near : elsewhere);
  }
  return found;
}

/** Prints where `not-found.yaml` is not right. */
function printUnlisted(found: ReadonlySet<string>): void {
  const listed = new Set(notFoundYet);
  for (const title of listed) if (found.has(title)) console.log(`Found, but in not-found.yaml: ${title}`);
  for (const { title } of mistakes)
    if (!found.has(title) && !listed.has(title))
      console.log(`Not found, and not in not-found.yaml: ${title}`);
}

function removeFound(found: ReadonlySet<string>): void {
  const lines = readFileSync(NOT_FOUND_FILE, 'utf8').split('\n');
  const kept = lines.filter((line) => !found.has(line.replace(/^- /, '')));
  writeFileSync(NOT_FOUND_FILE, kept.join('\n'));
  console.log(`${lines.length - kept.length} titles removed from not-found.yaml.`);
}

function printFalseAlarms(): void {
  const alarms = new Map([
    ...soundNames.map((name) => [name, graveFindings(soundAnalysis(name))] as const),
    ...soundChanges.map((change) => [change.title, findingsAfter(change)] as const),
  ]);
  const silent = [...alarms.values()].filter(({ length }) => length === 0);
  console.log(`Sound files and changes: ${silent.length} of ${alarms.size} silent`);
  for (const [name, findings] of alarms) {
    const known = falseAlarms[name] ?? {};
    const unknown = findings.filter((finding) => !(alarmName(finding) in known));
    if (findings.length > 0) console.log(`  ${name}${unknown.length > 0 ? '' : ' (known)'}`);
    printFindings(findings);
  }
}

/** Prints the false alarms in sound files with their maps on other axes, so many times each. */
export function printOnOtherAxes(count: number): void {
  let alarming = 0;
  for (const name of soundEngines) {
    for (let seed = 1; seed <= count; seed++) {
      const findings = findingsOnOtherAxes(name, seed);
      if (findings.length === 0) continue;
      alarming++;
      console.log(`  ${name}, seed ${seed}`);
      printFindings(findings);
    }
  }
  const all = soundEngines.length * count;
  console.log(`Sound files with other axes: ${all - alarming} of ${all} silent`);
}

function printFindings(findings: readonly Finding[]): void {
  for (const finding of findings) console.log(`      ${inWords(finding)}`);
}
