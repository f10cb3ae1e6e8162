import { capital } from '../capital.ts';
import { describeKind, isFault, nearestWord, parseAs } from '../quantity/index.ts';
import { replace } from '../source/edit.ts';
import type { Entry, Node, ScalarNode } from '../source/tree.ts';
import { acceptanceWithoutFinding, acceptanceWithoutReason } from './accept.ts';
import {
  type Check,
  type CurveSetting,
  type Family,
  type Found,
  fileCheck,
  type Setting,
  type Subject,
} from './check.ts';
import { listOf, nameOf, quote, renaming, valueText } from './form-words.ts';
import { isPlain } from './usual-mixture.ts';
import { formatNumber } from './words.ts';

/** Every check; a function, because the registry and this file import each other. */
type AllChecks = () => readonly Check[];

function overrideUnknown(allChecks: AllChecks): Check {
  return fileCheck({
    id: 'override-unknown',
    severity: 'warning',
    title: 'Unknown check or setting',
    page: {
      catches:
        'A key under `checks:` that is not the ID of a check, or a setting that its check does not have. An entry without a ' +
        'reason is reported by `missing-key`, and the default threshold still applies.',
      why: 'The key looks as if it changed a threshold, but the default still applies.',
      example:
        'checks:\n  injector-duty-hi: { limit: 88 %, reason: Flow bench report 12 shows it linear to 90 %. }',
      remedy: 'Write the ID of the check as its findings show it. The page of the check lists its settings.',
      basis: 'The file format.',
    },
    *find(subject) {
      for (const departure of departuresIn(subject, allChecks())) yield* unknownIn(departure, allChecks());
    },
  });
}

/** A key under `checks:`, with its check and its settings. */
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
    yield { at: key, message: `Unknown check ${quote(key.text)}.`, fixes: renaming(entry, nearest) };
    return;
  }
  const settings = Object.keys({ ...check.settings, ...check.curves });
  for (const own of said) {
    if (own.key.text === 'reason' || settings.includes(own.key.text)) continue;
    const has =
      settings.length === 0 ? 'this check has none' : `this check has ${listOf(settings.map(quote), 'and')}`;
    const message = `Unknown setting ${quote(own.key.text)} in ${nameOf(value)}; ${has}.`;
    yield { at: own.key, message, fixes: renaming(own, nearestWord(own.key.text, settings)) };
  }
}

/** A ratio above this lacks its `%`: no threshold of any check is near it. */
const LARGEST_SHARE = 2;

function overrideOfWrongKind(allChecks: AllChecks): Check {
  return fileCheck({
    id: 'override-of-wrong-kind',
    severity: 'error',
    title: 'Invalid threshold',
    page: {
      catches:
        'A threshold under `checks:` in a unit of another quantity, a percentage without its `%`, or another value where the check takes a curve of plain numbers over one quantity.',
      why: 'Such a value has no effect, or it moves the threshold so far that the check never reports anything.',
      example:
        'checks:\n  injector-duty-high: { maximum: 88, reason: Flow bench report 12 shows it linear to 90 %. }   # 88 % was meant',
      remedy: 'Write the value in the unit of the threshold, as shown on the page of the check.',
      basis: 'The file format.',
    },
    *find(subject) {
      for (const { check, said } of departuresIn(subject, allChecks())) {
        const settings = check?.settings ?? {};
        for (const { key, value } of said) {
          const setting = Object.hasOwn(settings, key.text) ? settings[key.text] : undefined;
          if (setting && value.type === 'scalar') yield* misfit(value, setting);
          const curve =
            check?.curves && Object.hasOwn(check.curves, key.text) ? check.curves[key.text] : undefined;
          if (curve) yield* otherCurve(value, curve);
        }
      }
    },
  });
}

function* misfit(node: ScalarNode, { kind, value }: Setting): Iterable<Found> {
  const read = parseAs(kind, node.text);
  const name = capital(nameOf(node));
  if (isFault(read)) {
    // A text that is not a number with a unit has another finding.
    if (isFault(parseAs('any', node.text))) return;
    const message = `${name} must be ${describeKind(kind)}, not ${quote(node.text)}; the default of ${valueText(value)} still applies.`;
    yield { at: node, message };
  } else if (kind === 'ratio' && !read.unit && read.canonical > LARGEST_SHARE) {
    const meant = `${node.text} %`;
    yield {
      at: node,
      message: `${name} is ${valueText(node.text)}, which is ${formatNumber(100 * read.canonical)} %; the default is ${valueText(value)}.`,
      fixes: [{ title: `Change to ${valueText(meant)}`, safety: 'choice', edits: [replace(node, meant)] }],
    };
  }
}

/** A value that cannot replace a curve of plain numbers over one quantity. */
function* otherCurve(value: Node, { x }: CurveSetting): Iterable<Found> {
  const textAt = (...path: string[]): ScalarNode | undefined => {
    const node = path.reduce<Node | undefined>(
      (at, step) => (at?.type === 'mapping' ? at.get(step) : undefined),
      value,
    );
    return node?.type === 'scalar' ? node : undefined;
  };
  const [quantity, unit] = [textAt('x', 'quantity'), textAt('unit')];
  const isMap = value.type === 'mapping' && value.get('y') !== undefined;
  const isOver = quantity?.text === x && !isMap;
  if (isOver && isPlain(unit?.text ?? '')) return;
  const wanted = isOver ? 'a curve of plain numbers' : `a curve over ${quote(x)}`;
  const found = isOver
    ? `, not in ${quote(unit!.text)}`
    : quantity && !isMap
      ? `, not ${quote(quantity.text)}`
      : '';
  yield {
    at: isOver ? unit! : isMap ? value : (quantity ?? value),
    message: `${capital(nameOf(value))} must be ${wanted}${found}; the default curve still applies.`,
  };
}

/** What a file sets for the checks themselves: the findings that it accepts and the thresholds that it changes. */
export function departures(allChecks: AllChecks): Family {
  return {
    id: 'departures',
    title: 'Acceptances and thresholds',
    checks: [
      acceptanceWithoutFinding,
      acceptanceWithoutReason,
      overrideUnknown(allChecks),
      overrideOfWrongKind(allChecks),
    ],
  };
}
