import { type CodeAction, CodeActionKind, type CodeActionParams, type TextEdit } from 'vscode-languageserver';
import { runStore } from '#host';
import type { Analysis } from '../../shared/analysis.ts';
import { counted } from '../../shared/counted.ts';
import { takenFilling } from '../../shared/runs/take-filling.ts';
import { UsageError } from '../commands/command.ts';
import type { Editor } from '../editor.ts';
import { rangeOf } from '../places.ts';

/** What a run offers to change in the engine file that the controller held. */
export async function runActionsFor(
  { kind, file }: Analysis,
  { context }: CodeActionParams,
  editor: Editor,
): Promise<CodeAction[]> {
  const isWanted = context.only?.some((only) => REWRITE === only || REWRITE.startsWith(`${only}.`)) ?? true;
  if (kind !== 'run' || !isWanted) return [];
  try {
    const { run, result } = await runStore.get(file.path);
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

const REWRITE = CodeActionKind.RefactorRewrite;
