import { version } from '../../package.json';
import type { Check, Severity } from '../../shared/checks/check.ts';
import type { Finding, FindingFix, Place } from '../../shared/checks/finding.ts';
import { checkPage } from '../../shared/checks/page.ts';
import { checkNamed } from '../../shared/checks/registry.ts';
import { type CheckedFile, type CheckReport, locate } from './check-report.ts';
import { fingerprintsOf } from './fingerprint.ts';
import type { Format } from './format.ts';
import { fileAddress, ROOT, region } from './sarif-places.ts';

/**
 * SARIF 2.1.0 (OASIS, 2020): findings for code scanning, with the page of each check, related places and
 * fixes. What a comment accepts or the baseline lets pass is there as a suppressed result.
 */
export const checkSarif: Format<CheckReport> = {
  name: 'sarif',
  write: (report) => `${JSON.stringify(logOf(report), null, 2)}\n`,
};

function logOf({ files, problems = [] }: CheckReport) {
  const results = files.flatMap(resultsOf);
  const rules = [...new Set(results.map(({ ruleId }) => ruleId))].sort();
  const run = {
    tool: {
      driver: {
        name: 'Enginewright',
        semanticVersion: version,
        rules: rules.map((id) => ruleOf(id)),
      },
    },
    invocations: [
      {
        executionSuccessful: problems.length === 0,
        toolExecutionNotifications: problems.map((text) => ({ level: 'error', message: { text } })),
      },
    ],
    originalUriBaseIds: { [ROOT]: { description: { text: 'The folder that the command ran in.' } } },
    columnKind: 'utf16CodeUnits',
    results: results.map((result) => ({ ...result, ruleIndex: rules.indexOf(result.ruleId) })),
  };
  return {
    $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json',
    version: '2.1.0',
    runs: [run],
  };
}

const LEVELS: Readonly<Record<Severity, string>> = {
  error: 'error',
  warning: 'warning',
  information: 'note',
  hint: 'note',
};

function ruleOf(id: string) {
  const check = checkNamed(id);
  return check ? { id, ...describedBy(check) } : { id };
}

function describedBy(check: Check) {
  const { title, page, severity } = check;
  return {
    shortDescription: { text: `${title}.` },
    fullDescription: { text: page.catches },
    help: {
      text: `${page.why}\n\nWhat to do: ${page.remedy}\n\nBasis: ${page.basis}`,
      markdown: checkPage(check),
    },
    defaultConfiguration: { level: LEVELS[severity] },
  };
}

function resultsOf(checked: CheckedFile) {
  const { findings, accepted } = checked.analysis;
  const { known } = checked;
  const results = (
    list: readonly Finding[],
    fingerprints: readonly string[],
    more: (finding: Finding, index: number) => object,
  ) => list.map((finding, i) => ({ ...resultOf(checked, finding, fingerprints[i]!), ...more(finding, i) }));
  // Of findings alike, the baseline knows the first.
  const prints = fingerprintsOf(checked, [...(known ?? []), ...findings]);
  const knownCount = known?.length ?? 0;
  return [
    ...results(findings, prints.slice(knownCount), () => (known ? { baselineState: 'new' } : {})),
    ...results(known ?? [], prints, () => ({
      baselineState: 'unchanged',
      suppressions: [{ kind: 'external', justification: 'The baseline lets it pass.' }],
    })),
    ...results(
      accepted.map(({ finding }) => finding),
      fingerprintsOf(
        checked,
        accepted.map(({ finding }) => finding),
      ),
      (_, i) => ({ suppressions: [{ kind: 'inSource', justification: accepted[i]!.reason }] }),
    ),
  ];
}

function resultOf(checked: CheckedFile, finding: Finding, fingerprint: string) {
  const { rule, severity, message, path, related, fixes } = finding;
  const place = physical(checked, finding);
  const logical = path === '' ? {} : { logicalLocations: [{ fullyQualifiedName: path, kind: 'property' }] };
  return {
    ruleId: rule,
    level: LEVELS[severity],
    message: { text: message },
    locations: [{ ...place, ...logical }],
    ...(related.length > 0 && {
      relatedLocations: related.map((one, id) => ({
        id,
        ...physical(checked, one),
        message: { text: one.message },
      })),
    }),
    ...(fixes.length > 0 && { fixes: fixes.map((fix) => fixOf(checked, fix)) }),
    partialFingerprints: { 'enginewright/v1': fingerprint },
  };
}

function physical(checked: CheckedFile, place: Place) {
  const { file, range } = locate(checked, place);
  return { physicalLocation: { artifactLocation: fileAddress(file.path), region: region(range) } };
}

function fixOf(checked: CheckedFile, { title, safety, edits }: FindingFix) {
  const files = [...new Set(edits.map(({ file }) => file))];
  return {
    description: { text: title },
    artifactChanges: files.map((path) => ({
      artifactLocation: fileAddress(path),
      replacements: edits
        .filter(({ file }) => file === path)
        .map((edit) => ({
          deletedRegion: region(locate(checked, edit).range),
          insertedContent: { text: edit.text },
        })),
    })),
    properties: { safety },
  };
}
