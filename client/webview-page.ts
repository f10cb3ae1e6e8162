import { randomBytes } from 'node:crypto';
import * as vscode from 'vscode';

/** The folder of the built programs and styles of the panels, the only one that a panel may read. */
export const builtFolder = (extension: vscode.Uri): vscode.Uri => vscode.Uri.joinPath(extension, 'dist');

/**
 * The page of a panel, `NAME.js` and `NAME.css` of the built folder. Nothing runs in it but the extension's own script, and
 * nothing is fetched.
 */
export function webviewPage(
  webview: vscode.Webview,
  extension: vscode.Uri,
  name: string,
  title: string,
): string {
  const nonce = randomBytes(16).toString('base64url');
  const file = (ending: string) =>
    webview.asWebviewUri(vscode.Uri.joinPath(builtFolder(extension), `${name}.${ending}`));
  const policy = `default-src 'none'; script-src 'nonce-${nonce}'; style-src ${webview.cspSource}`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width">
<link rel="stylesheet" href="${file('css')}">
<title>${title}</title>
</head>
<body>
<main id="panel"></main>
<script nonce="${nonce}" src="${file('js')}"></script>
</body>
</html>`;
}
