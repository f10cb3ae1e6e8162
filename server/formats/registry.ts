import { checkJson } from './check-json.ts';
import type { CheckReport } from './check-report.ts';
import { checkText } from './check-text.ts';
import { deriveJson } from './derive-json.ts';
import { deriveMarkdown } from './derive-markdown.ts';
import type { DeriveReport } from './derive-report.ts';
import { deriveText } from './derive-text.ts';
import type { Format } from './format.ts';

/** The formats of each command; the first is the one that is used unasked. */
export const checkFormats: readonly Format<CheckReport>[] = [checkText, checkJson];
export const deriveFormats: readonly Format<DeriveReport>[] = [deriveText, deriveJson, deriveMarkdown];
