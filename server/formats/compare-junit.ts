import type { FindingConsequence } from '../../shared/compare/findings.ts';
import { findingWords } from '../../shared/compare/words.ts';
import { plainText } from '../plain-text.ts';
import { type GateLines, gateLines, type LimitLine } from './compare-gate.ts';
import {
  type CompareFormat,
  failsAtWarning,
  failsGate,
  fileName,
  findingPlace,
  type Printing,
} from './compare-report.ts';
import { type Case, distinct, junitText, type Suite } from './junit-xml.ts';

/**
 * JUnit XML: a file is a suite; a new finding or a single fault made worse is a case, which fails if it fails the run, and a reduced
 * margin a case that passes, with its numbers among the remarks.
 */
export const compareJunit: CompareFormat<Suite> = {
  part(file, printing) {
    const gate = gateLines(file);
    return gate ? suiteOf(gate, printing) : emptySuite(fileName(file));
  },
  write: ({ parts }) => junitText(parts.length > 0 ? parts : [emptySuite('compare')]),
};

const NOTHING: Case = { name: 'no new findings' };
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
    const name = distinct(`${line.rule}: ${line.label} at ${line.at}`, names);
    if (!line.isFault || !failsAtWarning(printing)) return { name };
    const { rule, text } = line;
    return {
      name,
      failure: { element: 'failure', type: 'warning', message: text, text: `${rule}\n${text}` },
    };
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
