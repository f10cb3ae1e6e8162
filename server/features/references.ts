import type { Location, ReferenceParams } from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import type { Mention } from '../../shared/configuration/mentions.ts';
import { namesAt } from '../../shared/configuration/names.ts';
import type { Editor } from '../editor.ts';
import { locationOfMention } from '../places.ts';
import type { Workspace } from '../workspace.ts';
import type { Feature } from './feature.ts';
import { mentionsAcross } from './mentions.ts';

export const references: Feature = {
  capabilities: { referencesProvider: true },
  listen: (connection, { from }) => {
    connection.onReferences(from<ReferenceParams, Location[]>(referencesAt));
  },
};

/** Every place in the workspace that refers to the thing named under the cursor. */
export function referencesAt(
  { file }: Pick<Analysis, 'file'>,
  { position, context }: Pick<ReferenceParams, 'position' | 'context'>,
  editor: Editor,
  workspace: Workspace,
): Location[] | null {
  const names = namesAt(file, file.lines.offset(position));
  if (names.length === 0) return null;
  const mentions = names.flatMap((name) => mentionsAcross(name, file, workspace));
  return distinct(mentions)
    .filter(({ name }) => context.includeDeclaration || !name.declares)
    .map((mention) => locationOfMention(mention, editor));
}

/** A signal is found twice: by its own name and by its quantity. */
function distinct(mentions: readonly Mention[]): Mention[] {
  const spans = new Map(mentions.map((mention) => [mention.name.node, mention]));
  return [...spans.values()];
}
