import { renameKey } from '../source/edit.ts';
import type { Entry } from '../source/tree.ts';
import { acceptanceWithoutFinding, acceptanceWithoutReason } from './accept.ts';
import { type Check, type Family, type Fix, type Found, fileCheck } from './check.ts';
import { capital, listOf, nameOf, nearestWord, quote } from './form-words.ts';

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
    *find({ file }) {
      const section = file.root.get('checks');
      for (const entry of section?.type === 'mapping' ? section.entries : [])
        yield* unknownIn(entry, allChecks());
    },
  });
}

function* unknownIn(entry: Entry, checks: readonly Check[]): Iterable<Found> {
  const { key, value } = entry;
  const check = checks.find(({ id }) => id === key.text);
  if (!check) {
    const nearest = nearestWord(
      key.text,
      checks.map(({ id }) => id),
    );
    yield { at: key, message: `There is no check ${quote(key.text)}.`, fixes: renaming(entry, nearest) };
    return;
  }
  const settings = Object.keys(check.settings ?? {});
  for (const own of value.type === 'mapping' ? value.entries : []) {
    if (own.key.text === 'reason' || settings.includes(own.key.text)) continue;
    const has = settings.length === 0 ? 'it has none' : `it has ${listOf(settings.map(quote), 'and')}`;
    const message = `${capital(nameOf(value))} sets ${quote(own.key.text)}, which is no setting of this check; ${has}.`;
    yield { at: own.key, message, fixes: renaming(own, nearestWord(own.key.text, settings)) };
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
    checks: [acceptanceWithoutFinding, acceptanceWithoutReason, overrideUnknown(allChecks)],
  };
}
