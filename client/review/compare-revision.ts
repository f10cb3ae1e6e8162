import * as vscode from 'vscode';
import { type CommittedTexts, type Revision, whyNot } from '../committed.ts';
import { isEngineFile } from '../files.ts';
import type { Reviews } from './reviews.ts';

/** The commands that compare with a branch, a tag or an earlier commit, and with the last commit again. */
export function revisionComparison(committed: CommittedTexts, reviews: Reviews): vscode.Disposable {
  return vscode.Disposable.from(
    vscode.commands.registerCommand('enginewright.compareRevision', (name?: string) =>
      compareRevision(committed, reviews, name),
    ),
    vscode.commands.registerCommand('enginewright.compareCommit', () => {
      const document = vscode.window.activeTextEditor?.document;
      if (document) reviews.compareWith(document, undefined);
      committed.compareWith(undefined);
    }),
  );
}

async function compareRevision(committed: CommittedTexts, reviews: Reviews, name?: string): Promise<void> {
  const { window, commands } = vscode;
  const document = window.activeTextEditor?.document;
  if (!document || !isEngineFile(document)) {
    void window.showInformationMessage('Open the file to compare with another revision.');
    return;
  }
  // Also finds the repository.
  const own = await committed.of(document.uri);
  const revisions = await committed.revisionsFor(document.uri);
  if (revisions.length === 0) {
    void window.showInformationMessage(whyNot(own, document) ?? 'The repository has no commits.');
    return;
  }
  const revision = name === undefined ? await chosen(revisions) : revisions.find((one) => one.name === name);
  if (!revision) return;
  reviews.compareWith(document, undefined);
  committed.compareWith(revision);
  await commands.executeCommand('enginewright.review.focus');
}

async function chosen(revisions: readonly Revision[]): Promise<Revision | undefined> {
  const items = revisions.map((revision) => ({
    label: revision.name,
    description: revision.about,
    revision,
  }));
  const options = { placeHolder: 'Compare with a branch, a tag or a commit', matchOnDescription: true };
  return (await vscode.window.showQuickPick(items, options))?.revision;
}
