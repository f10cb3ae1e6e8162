import { findingWords } from '../../shared/compare/words.ts';
import { findingAnnotation } from './check-github.ts';
import { gateLines } from './compare-gate.ts';
import type { CompareFormat } from './compare-report.ts';
import { annotationLine } from './github-command.ts';

/** Annotations for GitHub Actions: new findings and reduced margins. */
export const compareGithub: CompareFormat<string> = {
  part(file, printing) {
    const gate = gateLines(file, printing);
    if (!gate) return '';
    const lines = [
      ...gate.fresh.map((one) => findingAnnotation(gate.state, one.finding, `${findingWords(one)}: `)),
      ...gate.limits.map((line) => {
        const { rule, text, place } = line;
        return annotationLine({
          severity: line.severity,
          title: rule,
          text,
          ...(place && { place }),
        });
      }),
    ];
    return lines.join('');
  },
  write: ({ files }) => files.map(({ part }) => part).join(''),
};
