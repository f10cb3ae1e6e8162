import * as vscode from 'vscode';
import { LARGEST_IMAGE } from '../../shared/image/memory.ts';
import { isEngineFile } from '../files.ts';
import type { LanguageServer } from '../language-server.ts';
import type { Reviews } from './reviews.ts';

/** The command that compares the text with an image in the review view. */
export function imageComparison(server: LanguageServer, reviews: Reviews): vscode.Disposable {
  return vscode.commands.registerCommand('enginewright.compareImage', (image?: vscode.Uri) =>
    compareImage(server, reviews, image),
  );
}

/** In bytes: the largest image as records of 16 bytes takes three times its size. */
const LONGEST = 4 * LARGEST_IMAGE;

async function compareImage(server: LanguageServer, reviews: Reviews, given?: vscode.Uri): Promise<void> {
  const { window, workspace, commands } = vscode;
  const document = window.activeTextEditor?.document;
  if (!document || !isEngineFile(document) || document.uri.path.endsWith('.controller.yaml')) {
    void window.showInformationMessage('Open the engine file to compare with an image.');
    return;
  }
  const image = given ?? (await chosenImage());
  if (!image) return;
  const name = image.path.replace(/^.*\//, '');
  const { size } = await workspace.fs.stat(image);
  if (size > LONGEST) {
    void window.showErrorMessage(`${name} is too long for an image.`);
    return;
  }
  const contents = base64Of(await workspace.fs.readFile(image));
  const textDocument = { uri: document.uri.toString() };
  const answer = await server.ask('enginewright/imageTexts', { textDocument, name, contents });
  if (!answer || answer.problem !== undefined) {
    void window.showErrorMessage(answer?.problem ?? 'The text has changed. Try again.');
    return;
  }
  if (answer.notes.length > 0) void window.showWarningMessage(answer.notes.join(' '));
  else if (answer.matches) void window.showInformationMessage(`${name} holds what the file says.`);
  reviews.compareWith(document, { name, texts: answer.texts });
  await commands.executeCommand('enginewright.review.focus');
}

/** In pieces: a call takes only so many arguments. */
function base64Of(bytes: Uint8Array): string {
  let text = '';
  for (let at = 0; at < bytes.length; at += 8192)
    text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(text);
}

async function chosenImage(): Promise<vscode.Uri | undefined> {
  const [image] =
    (await vscode.window.showOpenDialog({
      title: 'Image to compare with',
      openLabel: 'Compare',
      filters: { Images: ['hex', 's19', 's28', 's37', 'srec', 'bin'], 'All files': ['*'] },
    })) ?? [];
  return image;
}
