import type { Analysis } from '../analysis.ts';
import { sectionAt } from '../configuration/applied.ts';
import { fileKind } from '../configuration/project.ts';
import type { Change } from './change.ts';

/**
 * Whether the changes between two complete states of an engine file, or in its controller files, can change what is computed from
 * these sections.
 */
export function canChange(
  was: Analysis,
  is: Analysis,
  changes: readonly Change[],
  sections: ReadonlySet<string>,
): boolean {
  if (!isComplete(was) || !isComplete(is)) return false;
  const isRead = ({ was, is }: Change) =>
    [was, is].some((item) => item && (item.path.length === 0 || sections.has(String(sectionAt(item.path)))));
  return controllerTexts(was) !== controllerTexts(is) || changes.some(isRead);
}

const isComplete = ({ kind, derivation }: Analysis): boolean => kind === 'engine' && derivation !== undefined;

const controllerTexts = ({ files }: Analysis): string =>
  JSON.stringify(files.flatMap(({ path, text }) => (fileKind(path) === 'controller' ? text : [])));
