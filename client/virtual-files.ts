import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import type { CustomNotifications, SentFile } from '../server/protocol.ts';
import { FileSender } from './file-sender.ts';
import { ENGINE_FILES } from './files.ts';

const SKIPPED_FOLDERS = new Set(['node_modules', '.git']);

/** Whether the server cannot read a file itself. */
type IsVirtual = (uri: vscode.Uri) => boolean;

/** All engine and controller files of the open folders that the server cannot read itself. */
export async function virtualFiles(isVirtual: IsVirtual): Promise<SentFile[]> {
  const folders = (vscode.workspace.workspaceFolders ?? []).map(({ uri }) => uri).filter(isVirtual);
  return (await Promise.all(folders.map(filesBelow))).flat();
}

/** Sends the server each of these files that changes, and those that it requests. */
export function sendChanges(client: BaseLanguageClient, isVirtual: IsVirtual): vscode.Disposable {
  const sender = new FileSender(client, () => virtualFiles(isVirtual));
  const sendOne = (uri: vscode.Uri): void => {
    if (isVirtual(uri)) void sender.send(async () => [await sentFile(uri)]);
  };
  const missing = 'enginewright/missing' satisfies keyof CustomNotifications;
  const watcher = vscode.workspace.createFileSystemWatcher(ENGINE_FILES);
  return vscode.Disposable.from(
    sender,
    watcher,
    watcher.onDidCreate(sendOne),
    watcher.onDidChange(sendOne),
    watcher.onDidDelete(sendOne),
    vscode.workspace.onDidChangeWorkspaceFolders(() => void sender.send(() => virtualFiles(isVirtual))),
    client.onNotification(missing, ({ uris }: CustomNotifications[typeof missing]) => {
      const found = async (uri: string) => ({ ...(await sentFile(vscode.Uri.parse(uri))), uri });
      void sender.send(() => Promise.all(uris.map(found)));
    }),
  );
}

/**
 * The engine and controller files in a folder. Searching by name is a service of its own, which a file system need not have.
 * A folder that cannot be read has none.
 */
async function filesBelow(folder: vscode.Uri): Promise<SentFile[]> {
  const entries = await Promise.resolve(vscode.workspace.fs.readDirectory(folder)).catch(() => []);
  const found = entries.map(async ([name, type]) => {
    const uri = vscode.Uri.joinPath(folder, name);
    if (type === vscode.FileType.Directory) return SKIPPED_FOLDERS.has(name) ? [] : filesBelow(uri);
    return /\.(?:engine|controller|run)\.yaml$/.test(name) ? [await sentFile(uri)] : [];
  });
  return (await Promise.all(found)).flat();
}

async function sentFile(uri: vscode.Uri): Promise<SentFile> {
  const bytes = await Promise.resolve(vscode.workspace.fs.readFile(uri)).catch(() => undefined);
  return { uri: uri.toString(), text: bytes ? new TextDecoder().decode(bytes) : null };
}
