/** The folders are listed again when what that took has passed so many times, but not more often than in so many ms. */
const LIST_SELDOM = 50;
const LIST_AGAIN = 1000;

/** The engine and controller files below the folders that are open, as they were listed a short while ago. */
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

  /** A file has come or gone. */
  forget(): void {
    this.#listed = undefined;
  }

  /** The same list as long as nothing is listed again. */
  paths(): readonly string[] {
    const began = performance.now();
    // An editor that watches nothing does not tell of a file that comes.
    if (this.#listed && began < this.#goodUntil) return this.#listed;
    this.#listed = this.#folders.flatMap((folder) => this.list(folder));
    const took = performance.now() - began;
    this.#goodUntil = began + Math.max(LIST_AGAIN, LIST_SELDOM * took);
    return this.#listed;
  }
}
