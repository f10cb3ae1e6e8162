import type { SentFile } from './protocol.ts';
import type { Disk } from './texts.ts';
import { afterMessages } from './turns.ts';
import { isAddress, pathOfUri, uriOfPath } from './uri.ts';

/**
 * The files that the editor sends, and those on disk. In a browser there is no disk, and files of virtual file systems are on
 * none: the server cannot read them when it needs them, so the editor sends their texts in advance.
 */
export class SentFiles implements Disk {
  readonly #disk: Disk | undefined;
  /** By path; undefined for a file that the editor does not have. */
  readonly #texts = new Map<string, string | undefined>();
  readonly #missing = new Set<string>();
  /** Called with the URIs of files that are needed but were not sent. Undefined: the editor sends no files. */
  onMissing: ((uris: readonly string[]) => void) | undefined;

  constructor(disk?: Disk) {
    this.#disk = disk;
  }

  receive(files: readonly SentFile[]): void {
    for (const { uri, text } of files) this.#texts.set(pathOfUri(uri), text ?? undefined);
  }

  read(path: string): string | undefined {
    if (!this.#isSent(path)) return this.#disk?.read(path);
    if (!this.#texts.has(path)) this.#request(path);
    return this.#texts.get(path);
  }

  list(folder: string): readonly string[] {
    if (!this.#isSent(folder)) return this.#disk?.list?.(folder) ?? [];
    const inside = folder.endsWith('/') ? folder : `${folder}/`;
    return [...this.#texts].flatMap(([path, text]) =>
      text !== undefined && path.startsWith(inside) ? [path] : [],
    );
  }

  realPath(path: string): string {
    return this.#isSent(path) ? path : (this.#disk?.realPath?.(path) ?? path);
  }

  stamp(path: string): string | undefined {
    return this.#isSent(path) ? undefined : this.#disk?.stamp?.(path);
  }

  #isSent(path: string): boolean {
    return this.#disk === undefined || isAddress(path);
  }

  /** A configuration can name any path, and messages quote what is read, so only YAML is requested. */
  #request(path: string): void {
    if (!this.onMissing || this.#missing.has(path) || !/\.ya?ml$/.test(path)) return;
    this.#missing.add(path);
    if (this.#missing.size > 1) return;
    afterMessages(() => {
      const uris = [...this.#missing].map(uriOfPath);
      this.#missing.clear();
      this.onMissing?.(uris);
    });
  }
}
