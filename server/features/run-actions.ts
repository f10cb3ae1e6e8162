import {
  type CodeAction,
  CodeActionKind,
  type CodeActionParams,
  CodeActionTriggerKind,
  type TextEdit,
} from 'vscode-languageserver';
import { runStore } from '#host';
import type { Analysis } from '../../shared/analysis.ts';
import { counted } from '../../shared/counted.ts';
import { takenFilling } from '../../shared/runs/take-filling.ts';
import { UsageError } from '../commands/command.ts';
import type { Editor } from '../editor.ts';
import { rangeOf } from '../places.ts';
import type { StoredRun } from '../runs/run-store.ts';
import type { Workspace } from '../workspace.ts';

/**
 * What a run offers to change in the engine file that the controller held. A run is read from disk, so nothing is offered while one of
 * its texts is not saved. If nobody asked, as for a light bulb, nothing is read for it.
 */
export async function runActionsFor(
  { kind, file }: Analysis,
  { context }: CodeActionParams,
  editor: Editor,
  workspace: Workspace,
): Promise<CodeAction[]> {
  const isWanted = context.only?.some((only) => REWRITE === only || REWRITE.startsWith(`${only}.`)) ?? true;
  if (kind !== 'run' || !isWanted) return [];
  try {
    const isAutomatic = context.triggerKind === CodeActionTriggerKind.Automatic;
    const stored = isAutomatic ? runStore.held(file.path) : await runStore.get(file.path);
    if (!stored || !isSaved(stored, workspace)) return [];
    const { run, result } = stored;
    const { engine } = run;
    const edits = takenFilling(engine.installation, result.maps);
    if (edits.length === 0) return [];
    const changes: Record<string, TextEdit[]> = {};
    for (const { span, text } of edits) {
      const source = engine.files.find(({ path }) => path === span.chunk.file)!;
      const uri = editor.uriOf(source.path);
      changes[uri] ??= [];
      changes[uri].push({ range: rangeOf(source, span), newText: text });
    }
    const title = `Take the measured filling into ${counted(edits.length, 'cell')}`;
    return [{ title, kind: REWRITE, edit: { changes } }];
  } catch (error) {
    // The panel says why the run cannot be read.
    if (error instanceof UsageError) return [];
    throw error;
  }
}

/** Whether the editor shows the texts that were read. */
const isSaved = ({ run: { analysis, engine } }: StoredRun, workspace: Workspace): boolean =>
  [analysis.file, ...engine.files].every(({ path, text }) => (workspace.file(path)?.text ?? text) === text);

const REWRITE = CodeActionKind.RefactorRewrite;
