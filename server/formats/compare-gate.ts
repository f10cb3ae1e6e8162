import type { Severity } from '../../shared/checks/check.ts';
import { cameCloser, passed } from '../../shared/compare/consequence-order.ts';
import { type FindingConsequence, isNewFinding } from '../../shared/compare/findings.ts';
import { cappedConsequences, sectionsOf } from '../../shared/compare/sections.ts';
import type { ValueConsequence } from '../../shared/compare/values.ts';
import { limitSentence, valuePair, valuePlace } from '../../shared/compare/words.ts';
import type { LocatedPlace } from './check-report.ts';
import { type ComparedFile, type ComparedState, locateNode } from './compare-report.ts';
import type { SarifRule } from './sarif-log.ts';

/** What a gate shows of one file: the findings that the change brings, and the limits that it comes closer to. */
export interface GateLines {
  readonly state: ComparedState;
  /** Open findings that were not there, or were less grave. */
  readonly fresh: readonly FindingConsequence[];
  readonly accepted: readonly FindingConsequence[];
  /** New ones that the baseline lets pass. */
  readonly known: readonly FindingConsequence[];
  readonly limits: readonly LimitLine[];
}

export interface LimitLine {
  readonly rule: keyof typeof LIMIT_RULES;
  readonly value: ValueConsequence;
  /** `Injector duty, take_off: 56.9 % → 94 %, room 28.1 → −9 points, at most 85 % (allowed duty), …` */
  readonly text: string;
  /** Undefined where the value can't be told any more. */
  readonly place: LocatedPlace | undefined;
}

/** Undefined for a file that is gone: there is no text to show anything at. */
export function gateLines({ is, comparison, known = [] }: ComparedFile): GateLines | undefined {
  if (!is) return undefined;
  const { findings, near } = sectionsOf(comparison);
  return {
    state: is,
    fresh: findings.filter(isNewFinding),
    accepted: findings.filter((one) => one.is === 'accepted'),
    known: cappedConsequences(known).filter((one) => one.type === 'finding'),
    limits: near.filter(({ limit }) => limit !== undefined).map((value) => limitLine(is, value)),
  };
}

function limitLine(state: ComparedState, value: ValueConsequence): LimitLine {
  const numbers = valuePair(value).join(' → ');
  const text = `${value.label}, ${valuePlace(value)}: ${numbers}, ${limitSentence(value)}.`;
  return { rule: ruleOf(value), value, text, place: value.is && locateNode(state, value.is.node) };
}

function ruleOf({ limit }: ValueConsequence): LimitLine['rule'] {
  if (limit && passed(limit)) return 'limit-passed';
  return limit && cameCloser(limit) ? 'limit-closer' : 'limit-untold';
}

/** What a limit that came closer is called where findings are called by their checks. */
export const LIMIT_RULES = {
  'limit-passed': {
    title: 'A change takes a derived value beyond its limit.',
    help: 'See whether the change is meant. What the limit is, and the room before and after, stand in the message.',
    severity: 'warning',
  },
  'limit-closer': {
    title: 'A change leaves a derived value less room to its limit.',
    help: 'See whether the room that is left is enough. Room before and after stand in the message.',
    severity: 'information',
  },
  'limit-untold': {
    title: 'A derived value with a limit cannot be told any more.',
    help: 'The change takes away something that the value is derived from; nothing watches its limit now.',
    severity: 'warning',
  },
} as const satisfies Readonly<Record<string, SarifRule>>;

export const limitSeverity = ({ rule }: LimitLine): Severity => LIMIT_RULES[rule].severity;
