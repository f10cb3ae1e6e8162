import { version } from '../../package.json';
import type { Check, Severity } from '../../shared/checks/check.ts';
import type { Finding, FindingFix, Place } from '../../shared/checks/finding.ts';
import { checkPage } from '../../shared/checks/page.ts';
import { checkNamed } from '../../shared/checks/registry.ts';
import { plainText } from '../plain-text.ts';
import { type CheckedFile, type LocatedPlace, locate } from './check-report.ts';
import { fileAddress, ROOT, region } from './sarif-places.ts';

/** The properties that all our results have; SARIF allows many more. */
export interface SarifResult {
  readonly ruleId: string;
  readonly level: string;
  readonly message: { readonly text: string; readonly markdown?: string };
  readonly [more: string]: unknown;
}

/** A rule that is not a check. */
export interface SarifRule {
  readonly title: string;
  readonly help: string;
  readonly severity: Severity;
}

/** A log with one run, as text. `others` describes the rules that are not checks. */
export function sarifText(
  results: readonly SarifResult[],
  problems: readonly string[],
  others: Readonly<Record<string, SarifRule>> = {},
): string {
  const rules = [...new Set(results.map(({ ruleId }) => ruleId))].sort();
  const run = {
    tool: {
      driver: {
        name: 'Enginewright',
        semanticVersion: version,
        rules: rules.map((id) => ruleOf(id, others[id])),
      },
    },
    invocations: [
      {
        executionSuccessful: problems.length === 0,
        toolExecutionNotifications: problems.map((text) => ({ level: 'error', message: { text } })),
      },
    ],
    originalUriBaseIds: { [ROOT]: { description: { text: 'The working directory of the command.' } } },
    columnKind: 'utf16CodeUnits',
    results: results.map((result) => ({ ...result, ruleIndex: rules.indexOf(result.ruleId) })),
  };
  const log = {
    $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json',
    version: '2.1.0',
    runs: [run],
  };
  return `${JSON.stringify(log, null, 2)}\n`;
}

export const LEVELS: Readonly<Record<Severity, string>> = {
  error: 'error',
  warning: 'warning',
  information: 'note',
  hint: 'note',
};

function ruleOf(id: string, other?: SarifRule) {
  const check = checkNamed(id);
  if (check) return { id, ...describedBy(check) };
  if (!other) return { id };
  const { title, help, severity } = other;
  return {
    ...{ id, shortDescription: { text: `${title}.` }, help: { text: help } },
    defaultConfiguration: { level: LEVELS[severity] },
  };
}

function describedBy(check: Check) {
  const { title, page, severity } = check;
  return {
    shortDescription: { text: `${title}.` },
    fullDescription: sarifMessage(page.catches),
    help: {
      text: plainText(`${page.why}\n\nWhat to do: ${page.remedy}\n\nBasis: ${page.basis}`),
      markdown: checkPage(check),
    },
    defaultConfiguration: { level: LEVELS[severity] },
  };
}

/** The maximum number of edits of a fix in a log: a fix of a whole map may be offered for each of its rows. */
const MOST_EDITS = 1000;

/** A finding as a result, with its place, related places and fixes. */
export function findingResult(checked: CheckedFile, finding: Finding, fingerprint: string): SarifResult {
  const { rule, severity, message, path, related, fixes, leftOut } = finding;
  const shownFixes = fixes.filter(({ edits }) => edits.length <= MOST_EDITS);
  const place = physical(checked, finding);
  const logical = path === '' ? {} : { logicalLocations: [{ fullyQualifiedName: path, kind: 'property' }] };
  return {
    ruleId: rule,
    level: LEVELS[severity],
    message: sarifMessage(message),
    locations: [{ ...place, ...logical }],
    ...(related.length > 0 && {
      relatedLocations: related.map((one, id) => ({
        id,
        ...physical(checked, one),
        message: sarifMessage(one.message),
      })),
    }),
    ...(shownFixes.length > 0 && { fixes: shownFixes.map((fix) => fixOf(checked, fix)) }),
    ...(leftOut !== undefined && { properties: { leftOut } }),
    partialFingerprints: { 'enginewright/v1': fingerprint },
  };
}

function physical(checked: CheckedFile, place: Place) {
  return physicalLocation(locate(checked, place));
}

export function physicalLocation({ file, range }: Pick<LocatedPlace, 'file' | 'range'>) {
  return { physicalLocation: { artifactLocation: fileAddress(file.path), region: region(range) } };
}

function fixOf(checked: CheckedFile, { title, safety, edits }: FindingFix) {
  const files = [...new Set(edits.map(({ file }) => file))];
  return {
    description: sarifMessage(title),
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

/** SARIF shows code in the Markdown form of a message, and requires a plain form beside it. */
function sarifMessage(message: string) {
  const text = plainText(message);
  return text === message ? { text } : { text, markdown: message };
}
