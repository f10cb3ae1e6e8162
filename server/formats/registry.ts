import type { BusReport } from './bus-report.ts';
import type { CheckReport } from './check-report.ts';
import type { CompareFormat } from './compare-report.ts';
import type { DeriveReport } from './derive-report.ts';
import type { FaultsReport } from './faults-report.ts';
import type { Listed, ListedFormat } from './format.ts';
import type { ProveReport } from './prove-report.ts';
import type { RunsReport } from './runs-report.ts';

/** The formats of each command; the first is the default. */
export const checkFormats: readonly ListedFormat<CheckReport>[] = [
  { name: 'text', load: async () => (await import('./check-text.ts')).checkText },
  { name: 'json', load: async () => (await import('./check-json.ts')).checkJson },
  { name: 'sarif', load: async () => (await import('./check-sarif.ts')).checkSarif },
  { name: 'junit', load: async () => (await import('./check-junit.ts')).checkJunit },
  { name: 'github', load: async () => (await import('./check-github.ts')).checkGithub },
];
export const deriveFormats: readonly ListedFormat<DeriveReport>[] = [
  { name: 'text', load: async () => (await import('./derive-text.ts')).deriveText },
  { name: 'json', load: async () => (await import('./derive-json.ts')).deriveJson },
  { name: 'markdown', load: async () => (await import('./derive-markdown.ts')).deriveMarkdown },
];
export const proveFormats: readonly ListedFormat<ProveReport>[] = [
  { name: 'text', load: async () => (await import('./prove-text.ts')).proveText },
  { name: 'json', load: async () => (await import('./prove-json.ts')).proveJson },
  { name: 'markdown', load: async () => (await import('./prove-markdown.ts')).proveMarkdown },
];
export const faultsFormats: readonly ListedFormat<FaultsReport>[] = [
  { name: 'text', load: async () => (await import('./faults-text.ts')).faultsText },
  { name: 'json', load: async () => (await import('./faults-json.ts')).faultsJson },
  { name: 'markdown', load: async () => (await import('./faults-markdown.ts')).faultsMarkdown },
  { name: 'csv', load: async () => (await import('./faults-csv.ts')).faultsCsv },
  { name: 'html', load: async () => (await import('./faults-html.ts')).faultsHtml },
];
export const runsFormats: readonly ListedFormat<RunsReport>[] = [
  { name: 'text', load: async () => (await import('./runs-text.ts')).runsText },
  { name: 'json', load: async () => (await import('./runs-json.ts')).runsJson },
  { name: 'markdown', load: async () => (await import('./runs-markdown.ts')).runsMarkdown },
  { name: 'html', load: async () => (await import('./runs-html.ts')).runsHtml },
];
export const busFormats: readonly ListedFormat<BusReport>[] = [
  { name: 'dbc', load: async () => (await import('./bus-dbc.ts')).busDbc },
  { name: 'json', load: async () => (await import('./bus-json.ts')).busJson },
  { name: 'markdown', load: async () => (await import('./bus-markdown.ts')).busMarkdown },
];
export const compareFormats: readonly Listed<CompareFormat<unknown>>[] = [
  { name: 'text', load: async () => (await import('./compare-text.ts')).compareText },
  { name: 'json', load: async () => (await import('./compare-json.ts')).compareJson },
  { name: 'markdown', load: async () => (await import('./compare-markdown.ts')).compareMarkdown },
  { name: 'html', load: async () => (await import('./compare-html.ts')).compareHtml },
  { name: 'sarif', load: async () => (await import('./compare-sarif.ts')).compareSarif },
  { name: 'junit', load: async () => (await import('./compare-junit.ts')).compareJunit },
  { name: 'github', load: async () => (await import('./compare-github.ts')).compareGithub },
];
