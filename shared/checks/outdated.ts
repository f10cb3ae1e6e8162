import type { SourceFile } from '../source/source-file.ts';
import { nodeAtPath, pathOf } from '../source/tree.ts';
import { applyAcceptances } from './accept.ts';
import type { Check, Found } from './check.ts';
import { type Finding, FindingMaker } from './finding.ts';
import { type Asked, leftOut } from './run.ts';

/** What the checks that search bounds found in the last version in which they ran. */
export type Before = ReadonlyMap<Check, readonly Found[]>;

/** What there is to show of these checks until they have run again. */
export function beforeEdit({ answers }: Asked, earlier: Before = new Map()): Before {
  const found = [...answers]
    .filter(([{ searches }]) => searches)
    .map(([check, one]) => [check, one.found] as const);
  return new Map([...earlier, ...found]);
}

const MARK = ' (before the last edit)';

/**
 * The earlier findings of the checks that have not run, at the same key paths if these still exist. They are marked as
 * outdated and have no fixes.
 */
export function outdatedFindings(asked: Asked, files: readonly SourceFile[], before: Before): Finding[] {
  const { subject } = asked;
  const maker = new FindingMaker(subject.file, files);
  const findings = leftOut(asked).flatMap((check) =>
    (before.get(check) ?? []).flatMap(({ at, message, severity = check.severity }) => {
      if (!('type' in at)) return [];
      const file = files.find(({ path }) => path === at.chunk.file);
      const node = file && nodeAtPath(file.root, pathOf(at));
      return node ? [maker.make(check, { at: node, severity, message: message + MARK })] : [];
    }),
  );
  // The `# accept` comments themselves are checked once the checks have run.
  return findings.filter(
    (one) => applyAcceptances([one], subject.file, files, new Set()).accepted.length === 0,
  );
}
