import type { Severity } from '../../shared/checks/check.ts';
import { boundRow } from '../../shared/compare/bound-words.ts';
import type { BoundConsequence } from '../../shared/compare/bounds.ts';
import { briefOf } from '../../shared/compare/brief.ts';
import type { Consequence } from '../../shared/compare/consequence.ts';
import { beyondSeverity, isFurtherBroken, isNewlyBroken } from '../../shared/compare/consequence-order.ts';
import { faultSentence, type WorseFault } from '../../shared/compare/fault-words.ts';
import { type FindingConsequence, isNewFinding } from '../../shared/compare/findings.ts';
import { isCloser, isFurtherBeyond, isLimitRemoved, passed } from '../../shared/compare/limit-margin.ts';
import { cappedConsequences, sectionsOf } from '../../shared/compare/sections.ts';
import type { ValueConsequence } from '../../shared/compare/values.ts';
import { limitSentence, valuePair, valuePlace } from '../../shared/compare/words.ts';
import { plainText } from '../plain-text.ts';
import type { LocatedPlace } from './check-report.ts';
import {
  type ComparedFile,
  type ComparedState,
  failsGate,
  locateNode,
  type Printing,
} from './compare-report.ts';
import type { SarifRule } from './sarif-log.ts';

/** What a gate shows for one file: new findings, reduced margins and single faults made worse. */
export interface GateLines {
  readonly state: ComparedState;
  /** Open findings that are new or have a higher severity. */
  readonly fresh: readonly FindingConsequence[];
  readonly accepted: readonly FindingConsequence[];
  /** New findings that the baseline lists. */
  readonly known: readonly FindingConsequence[];
  readonly limits: readonly LimitLine[];
}

export interface LimitLine {
  readonly rule: keyof typeof LIMIT_RULES;
  /** `injector_duty`; of a bound, `injector_duty high climb` */
  readonly id: string;
  readonly label: string;
  /** The key path of the value's place, or of the limit of a bound. */
  readonly at: string;
  /** `Injector duty, take_off: 56.9 % → 94.0 %, margin 28.1 → −9.0 points, at most 85 % (maximum duty), …` */
  readonly text: string;
  readonly severity: Severity;
  /** Whether the run fails for it. */
  readonly isFailing: boolean;
  /** Undefined if the value can no longer be derived. */
  readonly place: LocatedPlace | undefined;
}

type GateLine = Omit<LimitLine, 'isFailing'>;

/** Undefined for a removed file, which has no text to annotate. */
export function gateLines(
  { is, own, known = [] }: ComparedFile,
  printing: Pick<Printing, 'all' | 'threshold'>,
): GateLines | undefined {
  if (!is) return undefined;
  const sections = sectionsOf(own);
  const { findings, faults } = sections;
  const limited = { ...sections, near: sections.near.filter(({ limit }) => limit !== undefined) };
  const { near, nearBounds } = printing.all ? limited : briefOf(limited);
  const withGate = (line: GateLine, one: Consequence): LimitLine => ({
    ...line,
    isFailing: failsGate(printing, one),
  });
  return {
    state: is,
    fresh: findings.filter(isNewFinding),
    accepted: findings.filter((one) => one.is === 'accepted'),
    known: cappedConsequences(known).filter((one) => one.type === 'finding'),
    limits: [
      ...near.map((value) => withGate(limitLine(is, value), value)),
      ...nearBounds.map((bound) => withGate(boundLine(is, bound), bound)),
      ...faults.map((line) => withGate(faultLine(is, line), line.first)),
    ],
  };
}

function limitLine(state: ComparedState, value: ValueConsequence): GateLine {
  const numbers = valuePair(value).join(' → ');
  const text = `${value.label}, ${valuePlace(value)}: ${numbers}, ${limitSentence(value)}.`;
  const { id, label, at } = value;
  const place = value.is && locateNode(state, value.is.node);
  const rule = ruleOf(value);
  return {
    ...{ rule, id, label, at, place },
    text: installationText(state, place) + text,
    severity: severityOf(rule, value),
  };
}

function boundLine(state: ComparedState, consequence: BoundConsequence): GateLine {
  const { id, side, mapSet, fault, limit } = (consequence.is ?? consequence.was)!;
  const { label, place, was, is, sentence } = boundRow(consequence);
  const node = consequence.is?.limit.node;
  const at = node && locateNode(state, node);
  const rule = boundRule(consequence);
  return {
    rule,
    id: [id, side, mapSet, fault].filter(Boolean).join(' '),
    label: `${label}, ${place}`,
    at: limit.at,
    text: `${installationText(state, at)}${label}, ${place}: ${was} → ${is}, ${sentence}.`,
    severity: severityOf(rule, consequence),
    place: at,
  };
}

/** The name of the installation, if the place is in another file, which may have several. */
const installationText = ({ name, analysis }: ComparedState, place: LocatedPlace | undefined): string =>
  place && place.file.path !== analysis.file.path ? `${name}: ` : '';

function faultLine(state: ComparedState, line: WorseFault): GateLine {
  const { first, of } = line;
  const node = first.is.node;
  const place = node && locateNode(state, node);
  return {
    rule: first.isMoreSevere ? 'fault-worse' : 'fault-unnoticed',
    id: first.is.fault,
    severity: 'warning',
    label: line.how,
    at: of,
    text: `${installationText(state, place)}Single fault of ${plainText(faultSentence(line))}`,
    place,
  };
}

function boundRule(consequence: BoundConsequence): LimitLine['rule'] {
  if (!consequence.is) return 'bound-lost';
  if (isNewlyBroken(consequence)) return 'bound-broken';
  if (isFurtherBroken(consequence)) return 'bound-further';
  return isCloser(consequence.limit) ? 'bound-closer' : 'bound-open';
}

function ruleOf({ limit, is }: ValueConsequence): LimitLine['rule'] {
  if (limit && passed(limit)) return 'limit-passed';
  if (limit && isFurtherBeyond(limit)) return 'limit-further';
  if (limit && is && isLimitRemoved(limit)) return 'limit-removed';
  return limit && isCloser(limit) ? 'limit-closer' : 'limit-untold';
}

/** The rules for reduced margins; findings have those of their checks instead. */
export const LIMIT_RULES = {
  'limit-passed': {
    title: 'Derived value now beyond its limit',
    help: 'Check whether the change is intended. The message gives the limit and the margin before and after the change.',
    severity: 'error',
  },
  'limit-further': {
    title: 'Derived value further beyond its limit',
    help: 'The value was beyond its limit before the change. Check whether the change is intended.',
    severity: 'error',
  },
  'limit-closer': {
    title: 'Margin to a limit reduced',
    help: 'Check whether the remaining margin is enough. The message gives the margin before and after the change.',
    severity: 'information',
  },
  'limit-removed': {
    title: 'Derived value no longer has its limit',
    help: 'The change removed the limit, so the value is no longer checked against it. The message gives the limit that it had.',
    severity: 'warning',
  },
  'limit-untold': {
    title: 'Derived value with a limit can no longer be derived',
    help: 'The change removed or broke an input of the value, so its limit is no longer checked.',
    severity: 'warning',
  },
  'bound-broken': {
    title: 'Limit now broken in some state of the envelope',
    help: 'Add the state in the message as an operating point to see how the value is derived.',
    severity: 'error',
  },
  'bound-further': {
    title: 'State of the envelope further beyond a limit',
    help: 'The limit was broken before the change. Add the state in the message as an operating point to see how the value is derived.',
    severity: 'information',
  },
  'bound-open': {
    title: 'Limit no longer proved for every state',
    help: 'The search neither proved that the limit holds nor found a state beyond it. Run `enginewright prove` for a longer search.',
    severity: 'warning',
  },
  'bound-closer': {
    title: 'Margin between a bound and its limit reduced',
    help: 'Check whether the remaining margin is enough. The message gives the margin before and after the change.',
    severity: 'information',
  },
  'fault-worse': {
    title: 'Single fault now has a worse effect',
    help: 'Check whether the change is intended. `enginewright faults` shows the whole table.',
    severity: 'warning',
  },
  'fault-unnoticed': {
    title: 'Single fault no longer noticed',
    help: 'Nothing shows this fault to the pilot any more. Add a light, fault bounds or a bus signal that shows it.',
    severity: 'warning',
  },
  'bound-lost': {
    title: 'Limit no longer proved',
    help: 'The change removed the limit, or removed or broke an input of the value or of the envelope.',
    severity: 'warning',
  },
} as const satisfies Readonly<Record<string, SarifRule>>;

/** The severity of the rule; what the file accepts is information. */
function severityOf(rule: LimitLine['rule'], one: ValueConsequence | BoundConsequence): Severity {
  if (one.limit?.accepted !== undefined) return 'information';
  return beyondSeverity(one) ?? LIMIT_RULES[rule].severity;
}
