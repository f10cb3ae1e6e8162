import {
  type InstallationFiles,
  type Mention,
  mentionsIn,
  mentionsOf,
} from '../../shared/configuration/mentions.ts';
import type { Name } from '../../shared/configuration/names.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';
import type { Workspace } from '../workspace.ts';

/**
 * Every place in the workspace that refers to the same thing as a name in a file. Only the installations that the name
 * can reach are read.
 */
export function mentionsAcross(name: Name, file: SourceFile, workspace: Workspace): Mention[] {
  const installations = new Map<string, InstallationFiles>();
  const seen = new Set<SourceFile>();
  const waiting = [file];
  for (let one = waiting.pop(); one; one = waiting.pop()) {
    if (seen.has(one)) continue;
    seen.add(one);
    if (mentionsIn(one, name).length === 0) continue;
    for (const engine of workspace.enginesWith(one.path)) {
      if (installations.has(engine)) continue;
      const together = workspace.installation(engine);
      installations.set(engine, together);
      waiting.push(...together);
    }
  }
  // Sorted by path, so that the order does not depend on which was found first.
  const engines = [...installations.keys()].sort();
  return mentionsOf(
    name,
    file,
    engines.map((engine) => installations.get(engine)!),
  );
}
