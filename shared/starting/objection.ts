import { analyse } from '../analysis.ts';
import type { Finding } from '../checks/finding.ts';
import { createProject } from '../configuration/project.ts';
import { offsetsOf } from '../source/source-file.ts';
import { nodeAtPath } from '../source/tree.ts';
import type { Question } from './answers.ts';
import { newInstallation } from './new-installation.ts';

/** Where the answer to a question stands in the file. */
const placeOf: Readonly<Record<Question, readonly string[]>> = {
  title: ['title'],
  cylinders: ['engine', 'cylinders'],
  bore: ['engine', 'bore'],
  stroke: ['engine', 'stroke'],
  controller: ['controller'],
};

/**
 * What the checks of a file would say of an answer, the worst of it; undefined where they are content. A file that
 * holds this answer alone is analysed, so a question knows of units and limits what every engine file knows.
 */
export function objectionTo(question: Question, answer: string): Finding | undefined {
  const path = '/new.engine.yaml';
  const text = newInstallation({ [question]: answer });
  const analysis = analyse(
    createProject((asked) => (asked === path ? text : undefined)),
    path,
  );
  const node = analysis && nodeAtPath(analysis.file.root, placeOf[question]);
  if (!node) throw new Error(`the file has no place for ${question}`);
  const { start, end } = offsetsOf(analysis.file, node);
  const own = analysis.findings.filter((finding) => finding.start >= start && finding.end <= end);
  return own.find(({ severity }) => severity === 'error') ?? own[0];
}
