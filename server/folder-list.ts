/** A list is reused for this many times the time it took, but at least for so many ms. */
const LIST_SELDOM = 50;
const LIST_AGAIN = 1000;

/** The engine and controller files in the open folders, from a recent listing. */
export class FolderList {
  #folders: readonly string[] = [];
  #listed: readonly string[] | undefined;
  #goodUntil = 0;

  constructor(readonly list: (folder: string) => readonly string[] = () => []) {}

  get folders(): readonly string[] {
    return this.#folders;
  }

  set folders(folders: readonly string[]) {
    this.#folders = folders;
    this.forget();
  }

  /** To be called when a file was created or deleted. */
  forget(): void {
    this.#listed = undefined;
  }

  /** Returns the same list object until the folders are listed again. */
  paths(): readonly string[] {
    const began = performance.now();
    // An editor without file watching does not report new files.
    if (this.#listed && began < this.#goodUntil) return this.#listed;
    this.#listed = this.#folders.flatMap((folder) => this.list(folder));
    const took = performance.now() - began;
    this.#goodUntil = began + Math.max(LIST_AGAIN, LIST_SELDOM * took);
    return this.#listed;
  }
}
