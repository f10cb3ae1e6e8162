import type { FindingConsequence } from '../../shared/compare/findings.ts';
import { type GateLines, gateLines, LIMIT_RULES, type LimitLine, limitSeverity } from './compare-gate.ts';
import type { CompareFormat } from './compare-report.ts';
import { fingerprints } from './fingerprint.ts';
import { findingResult, LEVELS, physicalLocation, type SarifResult, sarifText } from './sarif-log.ts';
import { fileAddress } from './sarif-places.ts';

/**
 * SARIF 2.1.0 for code scanning: new findings and reduced margins, at their places in the new state. Findings that are
 * accepted or listed in the baseline are suppressed. Findings no longer reported are left out, because a server would
 * show them as open.
 */
export const compareSarif: CompareFormat<readonly SarifResult[]> = {
  part(file) {
    const gate = gateLines(file);
    return gate ? [...findingResults(gate), ...gate.limits.map((line) => limitResult(gate, line))] : [];
  },
  write: ({ parts }) => sarifText(parts.flat(), [], LIMIT_RULES),
};

function findingResults({ state, fresh, accepted, known }: GateLines): SarifResult[] {
  const openPrint = fingerprints(state, state.analysis.findings);
  const settledPrint = fingerprints(
    state,
    state.analysis.accepted.map(({ finding }) => finding),
  );
  const result = ({ finding, was, is }: FindingConsequence) => ({
    ...findingResult(state, finding, is === 'accepted' ? settledPrint(finding) : openPrint(finding)),
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

function limitResult({ state }: GateLines, line: LimitLine): SarifResult {
  const { rule, text, place, id, at } = line;
  const physical = place
    ? physicalLocation(place)
    : { physicalLocation: { artifactLocation: fileAddress(state.analysis.file.path) } };
  return {
    ruleId: rule,
    level: LEVELS[limitSeverity(line)],
    message: { text },
    locations: [{ ...physical, logicalLocations: [{ fullyQualifiedName: at, kind: 'property' }] }],
    partialFingerprints: { 'enginewright/v1': `${rule} ${id} ${at}` },
    baselineState: 'new',
  };
}
