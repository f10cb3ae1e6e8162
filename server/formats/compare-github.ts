import { findingWords } from '../../shared/compare/words.ts';
import { findingAnnotation } from './check-github.ts';
import { gateLines, limitSeverity } from './compare-gate.ts';
import type { CompareReport } from './compare-report.ts';
import type { Format } from './format.ts';
import { annotationLine } from './github-command.ts';

/** Annotations of GitHub Actions: the findings that a change brings, and the limits that it comes closer to. */
export const compareGithub: Format<CompareReport> = {
  write({ files }) {
    const lines = files.flatMap((file) => {
      const gate = gateLines(file);
      if (!gate) return [];
      return [
        ...gate.fresh.map((one) => findingAnnotation(gate.state, one.finding, `${findingWords(one)}: `)),
        ...gate.limits.map((line) => {
          const { rule, text, place } = line;
          return annotationLine({
            severity: limitSeverity(line),
            title: rule,
            text,
            ...(place && { place }),
          });
        }),
      ];
    });
    return lines.join('');
  },
};
