import * as vscode from 'vscode';
import files from 'workspace-files';
import { MemoryFiles, SCHEME } from './memory-files.ts';

/** The extension of the tests: the file system of their workspace. */
export function activate(context: vscode.ExtensionContext): void {
  context.subscriptions.push(
    vscode.workspace.registerFileSystemProvider(SCHEME, new MemoryFiles(files), { isCaseSensitive: true }),
  );
}
