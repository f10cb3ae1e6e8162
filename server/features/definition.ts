import type { DefinitionParams, Location, Position } from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { appliedPath } from '../../shared/configuration/applied.ts';
import { namesAt } from '../../shared/configuration/names.ts';
import { fileKind, resolvePath } from '../../shared/configuration/project.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';
import { type Entry, nodeAtPath, type PathStep } from '../../shared/source/tree.ts';
import type { Editor } from '../editor.ts';
import { locationOf, locationOfMention } from '../places.ts';
import type { Workspace } from '../workspace.ts';
import type { Feature } from './feature.ts';
import { mentionsAcross } from './mentions.ts';
import { type Spot, spotAt } from './spot.ts';

export const definition: Feature = {
  capabilities: { definitionProvider: true },
  listen: (connection, { from }) => {
    connection.onDefinition(from<DefinitionParams, Location[]>(definitionAt));
  },
};

/**
 * The definition of the word under the cursor: the thing of that name, the sensor of a quantity, the file of a path, or
 * for a key in an overlay or map set the key that it overrides.
 */
export function definitionAt(
  analysis: Analysis,
  { position }: { readonly position: Position },
  editor: Editor,
  workspace: Workspace,
): Location[] | null {
  const named = declarationsAt(analysis, position, editor, workspace);
  if (named.length > 0) return named;
  const spot = spotAt(analysis, position);
  if (!spot) return null;
  if (spot.shape?.file && !spot.isKey) {
    const path = resolvePath(analysis.file.path, spot.node.text);
    const start = { line: 0, character: 0 };
    const isRead = workspace.file(path, analysis.file.path) !== undefined;
    return isRead ? [{ uri: editor.uriOf(path), range: { start, end: start } }] : null;
  }
  const entries = spot.isKey ? entriesBelow(analysis, spot, workspace) : [];
  return entries.length > 0 ? entries.map(({ file, entry }) => locationOf(file, entry.key, editor)) : null;
}

function declarationsAt(
  analysis: Analysis,
  position: Position,
  editor: Editor,
  workspace: Workspace,
): Location[] {
  const { file, files } = analysis;
  const names = namesAt(file, file.lines.offset(position));
  const all = names.flatMap((name) =>
    mentionsAcross(name, file, workspace).filter((one) => one.name.declares),
  );
  const others = all.filter(({ name }) => !names.includes(name));
  // Base files come before overlays, and the place itself only if there is no other.
  const own = others.filter((mention) => files.includes(mention.file));
  const chosen = [own, others, all].find((mentions) => mentions.length > 0) ?? [];
  return chosen.map((mention) => locationOfMention(mention, editor));
}

interface PlacedEntry {
  readonly file: SourceFile;
  readonly entry: Entry;
}

/** The same key in the base files or sections that a key overrides, or the key whose value a storage field holds. */
function entriesBelow(
  { kind, file, files }: Analysis,
  { path, node }: Spot,
  workspace: Workspace,
): PlacedEntry[] {
  const inEngines = (sources: readonly SourceFile[], steps: readonly PathStep[]) =>
    sources.filter((one) => fileKind(one.path) === 'engine').flatMap((one) => entryAt(one, steps));
  if (kind === 'controller') {
    if (path[0] !== 'storage' || path[1] !== 'fields') return [];
    const users = workspace.enginesWith(file.path).flatMap((engine) => workspace.installation(engine));
    return inEngines([...new Set(users)], node.text.split('.'));
  }
  const applied = appliedPath(path);
  return applied ? inEngines(files, applied) : inEngines(files.slice(1), path);
}

function entryAt(file: SourceFile, path: readonly PathStep[]): PlacedEntry[] {
  const parent = nodeAtPath(file.root, path.slice(0, -1));
  const entry = parent?.type === 'mapping' ? parent.entry(String(path.at(-1))) : undefined;
  return entry && file.chunks.has(entry.key.chunk) ? [{ file, entry }] : [];
}
