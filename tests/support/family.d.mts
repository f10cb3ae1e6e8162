/** Files that belong together, by their names in one folder: a base, what is based on it, the controllers. */
export type Family = ReadonlyMap<string, string>;

/** A small change of a text: where, which of the places there, and the digit that it gets. */
export interface FamilyEdit {
  readonly where: string;
  readonly pick: number;
  readonly digit: number;
}

/** A change as an editor sends it: the stretch from `start` to `end`, in UTF-16 units, becomes `text`. */
export interface Change {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** A section of the base, or one entry of it. */
interface Part {
  readonly section: string;
  readonly entry: number | null;
}

/** What a family is made by; short, so that a failing test can print it. */
export interface Recipe {
  readonly root: number;
  readonly overlays: readonly {
    readonly on: number;
    readonly parts: readonly Part[];
    readonly controller: boolean;
    readonly isBelow: boolean;
    readonly edits: readonly FamilyEdit[];
  }[];
}

export const WHERE: readonly string[];
export const SECTIONS: readonly string[];
export const ROOTS: readonly Family[];
export function familyOf(recipe: Recipe): Map<string, string>;
export function enginesOf(files: Family): string[];
export function referenceTo(name: string, from: string): string;
export function changeOf(text: string, edit: FamilyEdit, names: readonly string[]): Change;
export function edited(text: string, change: Change): string;
