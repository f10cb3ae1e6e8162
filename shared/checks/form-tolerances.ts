import { capital } from '../capital.ts';
import type { MisreadQuantity } from '../configuration/binding-fault.ts';
import { describeKind, type Kind, type ToleranceFault } from '../quantity/index.ts';
import { type Check, type Fix, fileCheck } from './check.ts';
import { blanksBefore, nameOf, rewriting, valueText } from './form-words.ts';

/** What the tolerance of a value on a scale is. */
const differenceKinds: Partial<Readonly<Record<Kind, Kind>>> = {
  'absolute pressure': 'pressure difference',
  'gauge pressure': 'pressure difference',
  pressure: 'pressure difference',
  'rail pressure': 'pressure difference',
  temperature: 'temperature difference',
};

const PROBLEMS: Readonly<Record<ToleranceFault['problem'], (fault: MisreadQuantity) => string>> = {
  'not-here': () => 'it cannot have a tolerance',
  'not-a-number': () => 'the tolerance must be a number with a unit, or a percentage',
  negative: () => 'a tolerance cannot be negative',
  'unit-missing': () => 'the tolerance has no unit',
  'wrong-unit': ({ kind }) =>
    `the tolerance must be a percentage or ${describeKind(differenceKinds[kind] ?? kind)}`,
  'share-of-temperature': () =>
    'a percentage of a temperature has no meaning, because the zero of its scale is arbitrary; write the tolerance in K',
};

export const toleranceInvalid: Check = fileCheck({
  id: 'tolerance-invalid',
  severity: 'error',
  title: 'Invalid tolerance',
  page: {
    catches:
      'A tolerance that cannot be read: negative, without a unit, in a unit that does not fit, or at a value that cannot have one, such as a range or a count.',
    why: 'A value with an unreadable tolerance is left out, and so is everything that is computed from it; otherwise bounds would promise more than is known.',
    example: 'fuel:\n  injectors: { static_flow: 350 cc/min ± 10 }',
    remedy:
      'Write the tolerance as a percentage of the value or in a unit: `350 cc/min ± 3 %`, `3.0 bar ± 0.1 bar`, `90 °C ± 2 K`. A percentage of a value in % is in points: `85 % ± 2 %` is 83 % to 87 %.',
    basis: 'The file format.',
  },
  *find(subject) {
    for (const fault of subject.binding) {
      if (fault.type !== 'quantity' || !fault.fault.tolerance) continue;
      const { node } = fault;
      const problem = PROBLEMS[fault.fault.tolerance.problem](fault);
      yield {
        at: node,
        message: `${capital(nameOf(node))} is ${valueText(node.text)}, but ${problem}.`,
        fixes: fixesOf(fault, fault.fault.tolerance),
      };
    }
  },
});

function fixesOf({ node, fault }: MisreadQuantity, { problem, suggestedText }: ToleranceFault): Fix[] {
  const [start, end] = fault.range;
  if (suggestedText !== undefined) return [rewriting(node, [start, end], `± ${suggestedText}`, 'choice')];
  if (problem !== 'not-here') return [];
  return [rewriting(node, [blanksBefore(node.text, start), end], '', 'choice')];
}
