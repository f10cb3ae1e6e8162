import * as vscode from 'vscode';
import { activateIn, type Enginewright } from './extension.ts';
import type { Host } from './language-server.ts';

export { deactivate } from './extension.ts';

/** The entry point in a browser: the language server is a worker, which gets the texts of all files from the client. */
export function activate(context: vscode.ExtensionContext): Enginewright {
  return activateIn(context, browserHost(vscode.Uri.joinPath(context.extensionUri, 'dist/web/server.js')));
}

function browserHost(script: vscode.Uri): Host {
  let worker: Worker | undefined;
  return {
    isVirtual: () => true,
    async client(id, name, options) {
      const browser = await import('vscode-languageclient/browser');
      const start = async () => {
        // A worker does not end by itself.
        worker?.terminate();
        worker = new Worker(script.toString(true));
        // Not the worker itself: VS Code puts a class of its own in the place of Worker, so the client would not know it.
        return {
          reader: new browser.BrowserMessageReader(worker),
          writer: new browser.BrowserMessageWriter(worker),
        };
      };
      return new browser.LanguageClient(id, name, start, options);
    },
  };
}
