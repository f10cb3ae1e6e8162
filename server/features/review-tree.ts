import type { Analysis } from '../../shared/analysis.ts';
import type { Change } from '../../shared/compare/change.ts';
import type { Comparison } from '../../shared/compare/comparison.ts';
import type { WorseFault } from '../../shared/compare/fault-words.ts';
import { type FindingConsequence, isNewFinding } from '../../shared/compare/findings.ts';
import { isCloser, isLimitRemoved, passed } from '../../shared/compare/limit-margin.ts';
import { sectionsOf } from '../../shared/compare/sections.ts';
import { relativeStepText } from '../../shared/compare/step.ts';
import type { ValueConsequence } from '../../shared/compare/values.ts';
import { tallyOf, verdictOf, verdictParts } from '../../shared/compare/verdict.ts';
import {
  changePlace,
  changeText,
  commonLimit,
  findingWords,
  limitSentence,
  marginText,
  valuePair,
  valuePlace,
} from '../../shared/compare/words.ts';
import { counted } from '../../shared/counted.ts';
import { groupedBy } from '../../shared/grouped-by.ts';
import { pathText } from '../../shared/source/tree.ts';
import type { Editor } from '../editor.ts';
import { plainText } from '../plain-text.ts';
import type { ReviewItem, ReviewSign } from '../protocol.ts';
import { ReviewPlaces } from './review-places.ts';

/** The verdict, the changes, and what follows from them (findings, derived values, faults), as `compare` puts them. */
export function reviewItems(is: Analysis, comparison: Comparison, editor: Editor): ReviewItem[] {
  if (comparison.changes.length + comparison.consequences.length === 0) return [];
  const places = new ReviewPlaces(is, editor);
  const { findings, near, conditional, others, faults, areas } = sectionsOf(comparison);
  const tally = tallyOf(comparison);
  const [found, rest] = verdictParts(tally);
  const folded = {
    ...group(counted(others.length, 'other value'), valueItems(others, places)),
    isOpen: false,
  };
  return [
    { label: found, detail: rest, text: `${found}; ${rest}.`, sign: verdictOf(tally) },
    ...[...areas].flatMap(([area, changes]) =>
      groups(
        area,
        changes.map((one) => changeItem(one, area, places)),
      ),
    ),
    ...groups(
      'Findings',
      findings.map((one) => findingItem(one, places)),
    ),
    ...groups('Derived values', [
      ...valueItems([...near, ...conditional], places),
      ...(others.length > 0 ? [folded] : []),
    ]),
    ...groups(
      'Single faults made worse',
      faults.map((line) => faultItem(line, places)),
    ),
  ];
}

function group(label: string, children: readonly ReviewItem[]): ReviewItem {
  return { label, detail: '', text: label, children, isOpen: true };
}

const groups = (label: string, children: readonly ReviewItem[]): ReviewItem[] =>
  children.length > 0 ? [group(label, children)] : [];

function findingItem(consequence: FindingConsequence, places: ReviewPlaces): ReviewItem {
  const { finding, is, rule, reason } = consequence;
  const message = plainText(finding.message);
  const said = reason === undefined ? message : `${message} Accepted: ${reason}`;
  const detail = `${findingWords(consequence)}: ${said}`;
  const place = places.ofFinding(finding, is !== 'none');
  return { label: rule, detail, text: `${rule}\n${detail}`, sign: findingSign(consequence), place };
}

function findingSign(consequence: FindingConsequence): ReviewSign {
  const { is, severity } = consequence;
  if (is === 'none') return 'gone';
  if (is === 'accepted') return 'accepted';
  const isGrave = severity === 'error' || severity === 'warning';
  return isGrave && isNewFinding(consequence) ? severity : 'note';
}

/** Values with the same label in one group; a single value has no group. */
function valueItems(values: readonly ValueConsequence[], places: ReviewPlaces): ReviewItem[] {
  return [...groupedBy(values, ({ label }) => label)].map(([label, some]) => {
    const [only, ...more] = some.map((value) => valueItem(value, places));
    if (more.length > 0) return { ...group(label, [only!, ...more]), detail: commonLimit(some) };
    return { ...only!, label, detail: `${only!.detail}, ${only!.label}` };
  });
}

function valueItem(value: ValueConsequence, places: ReviewPlaces): ReviewItem {
  const where = valuePlace(value);
  const numbers = valuePair(value).join(' → ');
  const step = relativeStepText(value.step);
  const room = limitSentence(value);
  return {
    label: where,
    detail: [`${numbers}${step === '' ? '' : ` (${step})`}`, marginText(value)].filter(Boolean).join(', '),
    text: [value.label, where, numbers, step, room].filter(Boolean).join('\n'),
    sign: valueSign(value),
    place: places.ofValue(value),
  };
}

function valueSign({ is, limit }: ValueConsequence): ReviewSign {
  if (!is) return 'lost';
  if (!limit) return 'moved';
  if (isLimitRemoved(limit)) return 'lost';
  if (passed(limit)) return 'beyond';
  return isCloser(limit) ? 'near' : 'moved';
}

function faultItem(line: WorseFault, places: ReviewPlaces): ReviewItem {
  const { of, how, severity, text, isSevere, first } = line;
  return {
    label: of,
    detail: `${how}: ${severity}`,
    text: `${of}, ${how}\n${severity}\n${plainText(text)}`,
    sign: isSevere ? 'beyond' : 'near',
    place: places.ofFault(first.is),
  };
}

function changeItem(change: Change, area: string, places: ReviewPlaces): ReviewItem {
  const name = changePlace(change);
  // The name of the group already contains the area.
  const label = name.startsWith(`${area} › `) ? name.slice(area.length + 3) : name;
  const detail = changeText(change);
  const place = places.ofChange(change);
  return {
    ...{ label, detail, text: `${name}\n${detail}`, sign: changeSign(change), place },
    ...(change.type === 'table' && { table: pathText(change.is.path) }),
  };
}

function changeSign({ type }: Change): ReviewSign {
  if (type === 'value') return 'changed';
  if (type === 'table') return 'map';
  return type === 'moved' ? 'renamed' : type;
}
