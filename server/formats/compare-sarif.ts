import type { Finding } from '../../shared/checks/finding.ts';
import type { FindingConsequence } from '../../shared/compare/findings.ts';
import { readablePath } from '../files.ts';
import { type GateLines, gateLines, LIMIT_RULES, type LimitLine } from './compare-gate.ts';
import type { ComparedState, CompareFormat } from './compare-report.ts';
import { fingerprints } from './fingerprint.ts';
import { findingResult, LEVELS, physicalLocation, type SarifResult, sarifText } from './sarif-log.ts';
import { fileAddress } from './sarif-places.ts';

/**
 * SARIF 2.1.0 for code scanning: new findings and reduced margins, at their places in the new state. Findings that are
 * accepted or listed in the baseline are suppressed. Findings no longer reported are left out, because a server would
 * show them as open.
 */
export const compareSarif: CompareFormat<readonly SarifResult[]> = {
  part(file, printing) {
    const gate = gateLines(file, { ...printing, all: true });
    return gate ? [...findingResults(gate), ...gate.limits.map((line) => limitResult(gate, line))] : [];
  },
  write: ({ files }) =>
    sarifText(
      files.flatMap(({ part }) => part),
      [],
      LIMIT_RULES,
    ),
};

function findingResults({ state, fresh, accepted, known }: GateLines): SarifResult[] {
  const openPrint = fingerprints(state, state.analysis.findings);
  const settledPrint = fingerprints(
    state,
    state.analysis.accepted.map(({ finding }) => finding),
  );
  const result = ({ finding, was, is }: FindingConsequence) => ({
    ...findingResult(state, finding, printOf(state, finding, is === 'accepted' ? settledPrint : openPrint)),
    baselineState: was === 'none' ? 'new' : 'updated',
  });
  return [
    ...fresh.map(result),
    ...known.map((one) => ({
      ...result(one),
      suppressions: [{ kind: 'external', justification: 'Listed in the baseline.' }],
    })),
    ...accepted.map((one) => ({
      ...result(one),
      suppressions: [{ kind: 'inSource', justification: one.reason ?? '' }],
    })),
  ];
}

/** Overlays of one base file have its findings at one place, so their fingerprints name the overlay. */
function printOf({ analysis }: ComparedState, finding: Finding, print: (finding: Finding) => string): string {
  return finding.writtenAt ? `${print(finding)} ${readablePath(analysis.file.path)}` : print(finding);
}

function limitResult({ state }: GateLines, line: LimitLine): SarifResult {
  const { rule, text, place, id, at } = line;
  const physical = place
    ? physicalLocation(place)
    : { physicalLocation: { artifactLocation: fileAddress(state.analysis.file.path) } };
  return {
    ruleId: rule,
    level: LEVELS[line.severity],
    message: { text },
    locations: [{ ...physical, logicalLocations: [{ fullyQualifiedName: at, kind: 'property' }] }],
    partialFingerprints: {
      'enginewright/v1': `${rule} ${id} ${at} ${readablePath(state.analysis.file.path)}`,
    },
    baselineState: 'new',
  };
}
