import { findingWords } from '../../shared/compare/words.ts';
import { findingAnnotation } from './check-github.ts';
import { gateLines, limitSeverity } from './compare-gate.ts';
import type { CompareFormat } from './compare-report.ts';
import { annotationLine } from './github-command.ts';

/** Annotations for GitHub Actions: new findings and reduced margins. */
export const compareGithub: CompareFormat<string> = {
  part(file) {
    const gate = gateLines(file);
    if (!gate) return '';
    const lines = [
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
    return lines.join('');
  },
  write: ({ parts }) => parts.join(''),
};
