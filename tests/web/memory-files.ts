import * as vscode from 'vscode';

/** The scheme of the workspace. Nothing about it is known to Enginewright. */
export const SCHEME = 'enginewright-memory';

interface Entry {
  bytes: Uint8Array;
  readonly ctime: number;
  mtime: number;
}

/** Files in memory, as a virtual file system has them: without a disk, a process or Git. Folders exist as long as they have files. */
export class MemoryFiles implements vscode.FileSystemProvider {
  readonly #files = new Map<string, Entry>();
  readonly #changed = new vscode.EventEmitter<vscode.FileChangeEvent[]>();
  readonly onDidChangeFile = this.#changed.event;

  constructor(texts: Readonly<Record<string, string>>) {
    const now = Date.now();
    for (const [path, text] of Object.entries(texts))
      this.#files.set(path, { bytes: new TextEncoder().encode(text), ctime: now, mtime: now });
  }

  watch(): vscode.Disposable {
    return new vscode.Disposable(() => {});
  }

  stat(uri: vscode.Uri): vscode.FileStat {
    const file = this.#files.get(uri.path);
    if (file) return { type: vscode.FileType.File, size: file.bytes.length, ...file };
    if (this.readDirectory(uri).length === 0) throw vscode.FileSystemError.FileNotFound(uri);
    return { type: vscode.FileType.Directory, ctime: 0, mtime: 0, size: 0 };
  }

  readDirectory({ path }: vscode.Uri): [string, vscode.FileType][] {
    const inside = path.endsWith('/') ? path : `${path}/`;
    const below = [...this.#files.keys()].filter((one) => one.startsWith(inside));
    const steps = below.map((one) => one.slice(inside.length).split('/'));
    const { File, Directory } = vscode.FileType;
    return [...new Map(steps.map(([name, rest]) => [name!, rest === undefined ? File : Directory]))];
  }

  readFile(uri: vscode.Uri): Uint8Array {
    const file = this.#files.get(uri.path);
    if (!file) throw vscode.FileSystemError.FileNotFound(uri);
    return file.bytes;
  }

  writeFile(uri: vscode.Uri, bytes: Uint8Array): void {
    const file = this.#files.get(uri.path);
    const now = Date.now();
    this.#files.set(uri.path, { bytes, ctime: file?.ctime ?? now, mtime: now });
    this.#tell(uri, file ? vscode.FileChangeType.Changed : vscode.FileChangeType.Created);
  }

  delete(uri: vscode.Uri): void {
    if (!this.#files.delete(uri.path)) throw vscode.FileSystemError.FileNotFound(uri);
    this.#tell(uri, vscode.FileChangeType.Deleted);
  }

  rename(from: vscode.Uri, to: vscode.Uri): void {
    this.writeFile(to, this.readFile(from));
    this.delete(from);
  }

  createDirectory(): void {}

  #tell(uri: vscode.Uri, type: vscode.FileChangeType): void {
    this.#changed.fire([{ type, uri }]);
  }
}
