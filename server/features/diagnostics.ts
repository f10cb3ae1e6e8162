import { type Diagnostic, DiagnosticSeverity } from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { capped } from '../../shared/checks/capped.ts';
import type { Severity } from '../../shared/checks/check.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { checkNamed } from '../../shared/checks/registry.ts';
import type { Editor } from '../editor.ts';
import { rangeOfPlace } from '../places.ts';
import { plainText } from '../plain-text.ts';

const SEVERITIES: Readonly<Record<Severity, DiagnosticSeverity>> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  information: DiagnosticSeverity.Information,
  hint: DiagnosticSeverity.Hint,
};

/** The findings of a file as diagnostics, each with a link to the page of its check. */
export function diagnosticsOf(
  analysis: Analysis,
  editor: Editor,
  findings: readonly Finding[] = analysis.findings,
): Diagnostic[] {
  return capped(findings).map((finding) => diagnosticOf(analysis, finding, editor));
}

export function diagnosticOf(analysis: Analysis, finding: Finding, editor: Editor): Diagnostic {
  const { rule, severity, message, related } = finding;
  const page = pageAddress(rule, editor);
  return {
    range: rangeOfPlace(analysis, finding),
    severity: SEVERITIES[editor.settings.severities.get(rule) ?? severity],
    source: 'enginewright',
    code: rule,
    ...(page !== undefined && { codeDescription: { href: page } }),
    message: plainText(message),
    relatedInformation: related.map((place) => ({
      location: { uri: editor.uriOf(place.file), range: rangeOfPlace(analysis, place) },
      message: plainText(place.message),
    })),
  };
}

function pageAddress(rule: string, { checkPages }: Editor): string | undefined {
  return checkPages !== undefined && checkNamed(rule) ? `${checkPages}:/${rule}.md` : undefined;
}
