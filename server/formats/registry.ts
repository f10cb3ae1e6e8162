import { busDbc } from './bus-dbc.ts';
import { busJson } from './bus-json.ts';
import { busMarkdown } from './bus-markdown.ts';
import type { BusReport } from './bus-report.ts';
import { checkGithub } from './check-github.ts';
import { checkJson } from './check-json.ts';
import { checkJunit } from './check-junit.ts';
import type { CheckReport } from './check-report.ts';
import { checkSarif } from './check-sarif.ts';
import { checkText } from './check-text.ts';
import { compareGithub } from './compare-github.ts';
import { compareHtml } from './compare-html.ts';
import { compareJson } from './compare-json.ts';
import { compareJunit } from './compare-junit.ts';
import { compareMarkdown } from './compare-markdown.ts';
import type { CompareReport } from './compare-report.ts';
import { compareSarif } from './compare-sarif.ts';
import { compareText } from './compare-text.ts';
import { deriveJson } from './derive-json.ts';
import { deriveMarkdown } from './derive-markdown.ts';
import type { DeriveReport } from './derive-report.ts';
import { deriveText } from './derive-text.ts';
import type { Format } from './format.ts';

/** The formats of each command; the first is the one that is used unasked. */
export const checkFormats: readonly Format<CheckReport>[] = [
  checkText,
  checkJson,
  checkSarif,
  checkJunit,
  checkGithub,
];
export const deriveFormats: readonly Format<DeriveReport>[] = [deriveText, deriveJson, deriveMarkdown];
export const busFormats: readonly Format<BusReport>[] = [busDbc, busJson, busMarkdown];
export const compareFormats: readonly Format<CompareReport>[] = [
  compareText,
  compareJson,
  compareMarkdown,
  compareHtml,
  compareSarif,
  compareJunit,
  compareGithub,
];
