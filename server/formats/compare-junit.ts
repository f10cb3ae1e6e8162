import { listed } from '../../shared/checks/words.ts';
import type { FindingConsequence } from '../../shared/compare/findings.ts';
import { findingWords } from '../../shared/compare/words.ts';
import { plainText } from '../plain-text.ts';
import { type GateLines, gateLines, type LimitLine } from './compare-gate.ts';
import {
  type CompareFormat,
  failsGate,
  fileName,
  findingPlace,
  type Printing,
  type ReportedFile,
} from './compare-report.ts';
import { type Case, distinct, junitText, type Suite } from './junit-xml.ts';

/**
 * JUnit XML: a file is a suite; a new finding, a value or bound beyond its limit and a single fault made worse are cases,
 * which fail if they fail the run; a reduced margin is a case that passes, with its numbers among the remarks.
 */
export const compareJunit: CompareFormat<Suite> = {
  part(file, printing) {
    const gate = gateLines(file, { ...printing, all: true });
    return gate ? suiteOf(gate, printing) : emptySuite(fileName(file));
  },
  write: ({ files }) => junitText(files.length > 0 ? files.map(suiteInReport) : [emptySuite('compare')]),
};

const NOTHING: Case = { name: 'no new findings' };
/** The suite of a file; that of an overlay without consequences of its own says which file has them. */
function suiteInReport({ part, sameAs }: ReportedFile<Suite>): Suite {
  if (sameAs.length === 0) return part;
  return { ...part, cases: [{ name: `same consequences as ${listed(sameAs)}` }] };
}

const emptySuite = (name: string): Suite => ({ name, cases: [NOTHING], remarks: [] });

function suiteOf(gate: GateLines, printing: Printing): Suite {
  const { state, fresh, accepted, known, limits } = gate;
  const names = new Map<string, number>();
  const details = (one: FindingConsequence) =>
    `${findingPlace(state, one)} ${findingWords(one)} ${one.rule}\n${plainText(one.finding.message)}`;
  const findingCase = (one: FindingConsequence): Case => {
    const name = distinct(`${one.rule} at ${findingPlace(state, one)}`, names);
    if (!failsGate(printing, one)) return { name };
    const message = plainText(one.finding.message);
    return { name, failure: { element: 'failure', type: one.severity, message, text: details(one) } };
  };
  const limitCase = (line: LimitLine): Case => {
    const { rule, label, at, text, severity, isFailing } = line;
    const name = distinct(`${rule}: ${label} at ${at}`, names);
    if (!isFailing) return { name };
    return { name, failure: { element: 'failure', type: severity, message: text, text: `${rule}\n${text}` } };
  };
  const cases = [...fresh.map(findingCase), ...limits.map(limitCase)];
  return {
    name: state.name,
    cases: cases.length > 0 ? cases : [NOTHING],
    remarks: [
      ...limits.map(({ rule, text }) => `${rule}\n${text}`),
      ...fresh.filter((one) => !failsGate(printing, one)).map(details),
      ...accepted.map((one) => `${details(one)}\naccepted: ${one.reason}`),
      ...known.map((one) => `${details(one)}\nlisted in the baseline`),
    ],
  };
}
