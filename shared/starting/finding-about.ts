import { analyse } from '../analysis.ts';
import type { Finding } from '../checks/finding.ts';
import { createProject } from '../configuration/project.ts';
import { offsetsOf } from '../source/source-file.ts';
import { nodeAtPath } from '../source/tree.ts';
import type { Question } from './answers.ts';
import { newInstallation } from './new-installation.ts';

/** The path of the answer to each question in the file. */
const placeOf: Readonly<Record<Question, readonly string[]>> = {
  title: ['title'],
  cylinders: ['engine', 'cylinders'],
  bore: ['engine', 'bore'],
  stroke: ['engine', 'stroke'],
  controller: ['controller'],
};

/**
 * The most severe finding about an answer; undefined if there is none. A file with this answer alone is analysed, so an
 * answer is checked like any value in an engine file.
 */
export function findingAboutAnswer(question: Question, answer: string): Finding | undefined {
  const path = '/new.engine.yaml';
  const text = newInstallation({ [question]: answer });
  const analysis = analyse(
    createProject((asked) => (asked === path ? text : undefined)),
    path,
  );
  const node = analysis && nodeAtPath(analysis.file.root, placeOf[question]);
  if (!node) throw new Error(`the file has no key for the answer to ${question}`);
  const { start, end } = offsetsOf(analysis.file, node);
  const own = analysis.findings.filter((finding) => finding.start >= start && finding.end <= end);
  return own.find(({ severity }) => severity === 'error') ?? own[0];
}
