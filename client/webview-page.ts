import * as vscode from 'vscode';

/** A panel to the side, with `NAME.js` and `NAME.css` from the built folder. It is empty until its script gets a message. */
export function panelBeside(
  extension: vscode.Uri,
  id: string,
  name: string,
  title: string,
): vscode.WebviewPanel {
  const panel = vscode.window.createWebviewPanel(
    id,
    title,
    { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true },
    {
      enableScripts: true,
      localResourceRoots: [builtFolder(extension)],
      enableCommandUris: ['enginewright.restartServer'],
    },
  );
  panel.iconPath = vscode.Uri.joinPath(extension, 'client', 'icon.png');
  panel.webview.html = webviewPage(panel.webview, extension, name, title);
  return panel;
}

/** The folder of the panels' built scripts and styles, the only one that a panel can read. */
const builtFolder = (extension: vscode.Uri): vscode.Uri => vscode.Uri.joinPath(extension, 'dist');

/** The page of a panel. It runs only the extension's script and fetches nothing. */
function webviewPage(webview: vscode.Webview, extension: vscode.Uri, name: string, title: string): string {
  const nonce = crypto.randomUUID();
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
<main>
<h1 class="spoken">${title}</h1>
<div id="panel"></div>
</main>
<script nonce="${nonce}" src="${file('js')}"></script>
</body>
</html>`;
}
