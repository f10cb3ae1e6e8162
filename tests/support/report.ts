import type { CheckedFile, CheckReport } from '../../server/formats/check-report.ts';
import type { Finding } from '../../shared/checks/finding.ts';
import { readSource } from '../../shared/source/source-file.ts';

/** A text with invented findings, so that a format is tested independently of the checks. */
export class Written {
  readonly file;

  constructor(
    readonly text: string,
    readonly path = '/shop/tow.engine.yaml',
  ) {
    this.file = readSource(path, text);
  }

  /** A finding at the first place where `of` occurs in the text. */
  finding(of: string, changes: Partial<Finding> = {}): Finding {
    const start = this.text.indexOf(of);
    return {
      ...{ file: this.path, start, end: start + of.length },
      ...{ rule: 'a-rule', severity: 'error', message: 'A message.', path: '', related: [], fixes: [] },
      ...changes,
    };
  }

  checked(findings: readonly Finding[], more: Partial<CheckedFile> = {}): CheckedFile {
    const analysis = { file: this.file, files: [this.file], findings, accepted: [] };
    return { name: this.path, analysis, ...more };
  }

  report(findings: readonly Finding[], more: Partial<CheckReport> = {}): CheckReport {
    return { files: [this.checked(findings)], ...more };
  }
}
