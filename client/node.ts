import * as vscode from 'vscode';
import { debugArguments, debugPort } from './debug-port.ts';
import { activateIn, type Enginewright } from './extension.ts';
import type { Host } from './language-server.ts';

export { deactivate } from './extension.ts';

/** The entry point in Node: the language server is a process, which reads files from disk. */
export function activate(context: vscode.ExtensionContext): Enginewright {
  const isDevelopment = context.extensionMode === vscode.ExtensionMode.Development;
  return activateIn(
    context,
    nodeHost(context.asAbsolutePath('dist/server.cjs'), debugPort(isDevelopment, process.env)),
  );
}

/** `module` is the path of the server's bundle; `port` the port for a debugger, undefined for none. */
function nodeHost(module: string, port: number | undefined): Host {
  return {
    isVirtual: ({ scheme }) => scheme !== 'file',
    async client(id, name, options) {
      const { LanguageClient, TransportKind } = await import('vscode-languageclient/node');
      const run = { module, transport: TransportKind.ipc };
      const debug = { ...run, options: { execArgv: debugArguments(port) } };
      return new LanguageClient(id, name, { run, debug }, options, port !== undefined);
    },
  };
}
