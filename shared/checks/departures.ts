import { describeKind, isFault, nearestWord, parseAs } from '../quantity/index.ts';
import { renameKey, replace } from '../source/edit.ts';
import type { Entry, ScalarNode } from '../source/tree.ts';
import { acceptanceWithoutFinding, acceptanceWithoutReason } from './accept.ts';
import {
  type Check,
  type Family,
  type Fix,
  type Found,
  fileCheck,
  type Setting,
  type Subject,
} from './check.ts';
import { capital, listOf, nameOf, quote } from './form-words.ts';
import { formatNumber } from './words.ts';

/** Every check, once the registry is made: the two need each other. */
type AllChecks = () => readonly Check[];

function overrideUnknown(allChecks: AllChecks): Check {
  return fileCheck({
    id: 'override-unknown',
    severity: 'warning',
    title: 'A threshold is set that no check has',
    page: {
      catches:
        'An entry under `checks:` that names no check, or a setting that its check does not have. That an entry gives its reason ' +
        'is asked by `missing-key`; without one the usual threshold stays in force.',
      why: 'The author believes that a limit has been moved, and a reviewer believes it too. The usual limit is still in force.',
      example:
        'checks:\n  injector-duty-hi: { limit: 88 %, reason: Flow bench report 12 shows it linear to 90 %. }',
      remedy: 'Take the check’s name as its findings show it; its page lists its settings.',
      basis: 'The format of the file.',
    },
    *find(subject) {
      for (const departure of departuresIn(subject, allChecks())) yield* unknownIn(departure, allChecks());
    },
  });
}

/** An entry under `checks:`, with the check that it names and what it says of it. */
interface Departure {
  readonly entry: Entry;
  readonly check: Check | undefined;
  readonly said: readonly Entry[];
}

function departuresIn({ file }: Subject, checks: readonly Check[]): Departure[] {
  const section = file.root.get('checks');
  if (section?.type !== 'mapping') return [];
  return section.entries.map((entry) => ({
    entry,
    check: checks.find(({ id }) => id === entry.key.text),
    said: entry.value.type === 'mapping' ? entry.value.entries : [],
  }));
}

function* unknownIn({ entry, check, said }: Departure, checks: readonly Check[]): Iterable<Found> {
  const { key, value } = entry;
  if (!check) {
    const nearest = nearestWord(
      key.text,
      checks.map(({ id }) => id),
    );
    yield { at: key, message: `There is no check ${quote(key.text)}.`, fixes: renaming(entry, nearest) };
    return;
  }
  const settings = Object.keys(check.settings ?? {});
  for (const own of said) {
    if (own.key.text === 'reason' || settings.includes(own.key.text)) continue;
    const has = settings.length === 0 ? 'it has none' : `it has ${listOf(settings.map(quote), 'and')}`;
    const message = `${capital(nameOf(value))} sets ${quote(own.key.text)}, which is no setting of this check; ${has}.`;
    yield { at: own.key, message, fixes: renaming(own, nearestWord(own.key.text, settings)) };
  }
}

/** A share above this is one whose `%` was left out: no threshold of any check is anywhere near. */
const LARGEST_SHARE = 2;

function overrideOfWrongKind(allChecks: AllChecks): Check {
  return fileCheck({
    id: 'override-of-wrong-kind',
    severity: 'error',
    title: 'A threshold is set to what it cannot be',
    page: {
      catches:
        'A threshold under `checks:` whose value has the unit of something else, or is a share of hundreds.',
      why: 'Such a value moves no limit, or moves it so far that the check is silent for ever, and its author believes in another one.',
      example:
        'checks:\n  injector-duty-high: { maximum: 88, reason: Flow bench report 12 shows it linear to 90 %. }   # 88 % was meant',
      remedy: 'Write the value in a unit of the threshold, as the page of the check shows it.',
      basis: 'The format of the file.',
    },
    *find(subject) {
      for (const { check, said } of departuresIn(subject, allChecks())) {
        const settings = check?.settings ?? {};
        for (const { key, value } of said) {
          const setting = Object.hasOwn(settings, key.text) ? settings[key.text] : undefined;
          if (setting && value.type === 'scalar') yield* misfit(value, setting);
        }
      }
    },
  });
}

function* misfit(node: ScalarNode, { kind, value }: Setting): Iterable<Found> {
  const read = parseAs(kind, node.text);
  const name = capital(nameOf(node));
  if (isFault(read)) {
    // What is no number with a unit at all is said to be none.
    if (isFault(parseAs('any', node.text))) return;
    const message = `${name} takes ${describeKind(kind)}, not ${quote(node.text)}; ${quote(value)} stays in force.`;
    yield { at: node, message };
  } else if (kind === 'ratio' && !read.unit && read.canonical > LARGEST_SHARE) {
    const meant = `${node.text} %`;
    yield {
      at: node,
      message: `${name} is ${quote(node.text)}, which is a share of ${formatNumber(100 * read.canonical)} %; usual is ${quote(value)}.`,
      fixes: [{ title: `Write ${quote(meant)}`, safety: 'choice', edits: [replace(node, meant)] }],
    };
  }
}

function renaming(entry: Entry, name: string | undefined): Fix[] {
  return name === undefined
    ? []
    : [{ title: `Rename to ${quote(name)}`, safety: 'choice', edits: [renameKey(entry, name)] }];
}

/** What a file says about checks themselves: the findings that it accepts and the thresholds that it sets. */
export function departures(allChecks: AllChecks): Family {
  return {
    id: 'departures',
    title: 'Acceptances and thresholds of the file',
    checks: [
      acceptanceWithoutFinding,
      acceptanceWithoutReason,
      overrideUnknown(allChecks),
      overrideOfWrongKind(allChecks),
    ],
  };
}
