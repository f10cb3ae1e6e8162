import * as vscode from 'vscode';
import { engineFiles } from '../files.ts';
import type { Reviews } from './reviews.ts';

const SECTION = 'enginewright.review';
const KEY = 'oldValues';
const isOn = (): boolean => vscode.workspace.getConfiguration(SECTION).get(KEY, true);

/** The committed value next to each changed value, and the command that toggles them. */
export function oldValues(reviews: Reviews): vscode.Disposable {
  const provider = new OldValues(reviews);
  return vscode.Disposable.from(
    provider,
    vscode.languages.registerInlayHintsProvider(engineFiles(), provider),
    vscode.commands.registerCommand('enginewright.toggleOldValues', toggle),
  );
}

/** Toggles the setting where it is set: for the workspace or for the user. */
async function toggle(): Promise<void> {
  const settings = vscode.workspace.getConfiguration(SECTION);
  const { Workspace, Global } = vscode.ConfigurationTarget;
  const isWorkspaces = settings.inspect(KEY)?.workspaceValue !== undefined;
  await settings.update(KEY, !isOn(), isWorkspaces ? Workspace : Global);
}

class OldValues implements vscode.InlayHintsProvider, vscode.Disposable {
  readonly #reviews: Reviews;
  readonly #changed = new vscode.EventEmitter<void>();
  readonly onDidChangeInlayHints = this.#changed.event;
  readonly #subscriptions: vscode.Disposable;

  constructor(reviews: Reviews) {
    this.#reviews = reviews;
    this.#subscriptions = vscode.Disposable.from(
      this.#changed,
      reviews.onDidChange(() => this.#changed.fire()),
      vscode.workspace.onDidChangeConfiguration((change) => {
        if (change.affectsConfiguration(`${SECTION}.${KEY}`)) this.#changed.fire();
      }),
    );
  }

  async provideInlayHints(document: vscode.TextDocument, range: vscode.Range): Promise<vscode.InlayHint[]> {
    if (!isOn()) return [];
    // VS Code draws the hints of all providers together, and none should wait until Git has started.
    if (!this.#reviews.has(document)) {
      void this.#reviews.of(document).then(() => this.#changed.fire());
      return [];
    }
    const outcome = await this.#reviews.of(document);
    if (!outcome || !('review' in outcome)) return [];
    return outcome.review.oldValues.flatMap(({ position, text, tooltip }) => {
      const at = new vscode.Position(position.line, position.character);
      if (!range.contains(at)) return [];
      const hint = new vscode.InlayHint(at, text);
      hint.paddingLeft = true;
      hint.tooltip = tooltip;
      return [hint];
    });
  }

  dispose(): void {
    this.#subscriptions.dispose();
  }
}
