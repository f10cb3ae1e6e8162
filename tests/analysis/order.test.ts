import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Analysis } from '../../shared/analysis.ts';
import { positionIn } from '../bench/client.mjs';
import {
  changeOf,
  edited,
  type Family,
  type FamilyEdit,
  familyOf,
  referenceTo,
  SECTIONS,
  WHERE,
} from '../support/family.mjs';
import { freshProgram } from '../support/fresh.mjs';

type Program = typeof import('../support/shown.ts');
type Shown = import('../support/shown.ts').Shown;

let fresh: () => Program;
beforeAll(async () => {
  fresh = await freshProgram('tests/support/shown.ts');
});

const FOLDER = '/family/';
const uri = (name: string) => `file://${FOLDER}${name}`;
const path = (name: string) => `${FOLDER}${name}`;

/** A window on the files with no open documents. Records each text that is read. */
function windowOn(program: Program, files: Family, reads = new Map<string, string | undefined>()) {
  const workspace = new program.Workspace({
    read: (wanted) => {
      const text = files.get(wanted.slice(FOLDER.length));
      reads.set(wanted.slice(FOLDER.length), text);
      return text;
    },
    list: () => [...files.keys()].map(path),
  });
  workspace.setFolders([`file://${FOLDER}`]);
  return workspace;
}

/** What the program shows if it has seen only one file and the files that it uses. */
class Alone {
  readonly #known: { readonly name: string; readonly reads: Family; readonly shown: Shown }[] = [];

  shown(name: string, files: Family): Shown {
    const isSame = (reads: Family) => [...reads].every(([read, text]) => files.get(read) === text);
    const known = this.#known.find((one) => one.name === name && isSame(one.reads));
    if (known) return known.shown;
    const reads = new Map([[name, files.get(name)]]);
    const program = fresh();
    const shown = program.shownOf(this.#analysis(program, name, files, reads));
    this.#known.push({ name, reads: reads as Family, shown });
    return shown;
  }

  review(name: string, was: Family, is: Family): Shown {
    const program = fresh();
    return program.reviewShown(this.#analysis(program, name, was), this.#analysis(program, name, is));
  }

  uses(name: string, files: Family): Shown {
    const program = fresh();
    const workspace = windowOn(program, files);
    workspace.rewrite(uri(name), [{ text: files.get(name)! }]);
    return program.usesShown(workspace.analysis(uri(name))!, workspace);
  }

  #analysis(
    program: Program,
    name: string,
    files: Family,
    reads?: Map<string, string | undefined>,
  ): Analysis {
    const workspace = windowOn(program, files, reads);
    workspace.rewrite(uri(name), [{ text: files.get(name)! }]);
    return workspace.analysis(uri(name))!;
  }
}

/** A step with a file of a family. `reads`: whether everything shown of it is read at once or only at the end. */
type Step = { readonly file: number; readonly reads: boolean } & (
  | { readonly does: 'open' | 'close' }
  | { readonly does: 'edit' | 'save'; readonly edit: FamilyEdit }
);

/** An analysis that is still referenced. What it shows must never change. */
interface Held {
  readonly name: string;
  readonly files: Family;
  readonly analysis: Analysis;
  readonly shown: Shown | undefined;
  readonly before: Held | undefined;
}

/** A window in which files are opened, edited and closed, and written on disk by other programs. */
class Window {
  readonly #disk: Map<string, string>;
  readonly #open = new Map<string, string>();
  readonly #held: Held[] = [];
  readonly #program = fresh();
  readonly #workspace;
  readonly #names: readonly string[];

  constructor(family: Family) {
    this.#disk = new Map(family);
    this.#names = [...family.keys()];
    this.#workspace = windowOn(this.#program, this.#disk);
  }

  take(step: Step): void {
    const name = this.#names[step.file % this.#names.length]!;
    const text = this.#open.get(name);
    const references = this.#names.map((other) => referenceTo(other, name));
    if (step.does === 'open' && text === undefined) {
      this.#open.set(name, this.#disk.get(name)!);
      this.#workspace.rewrite(uri(name), [{ text: this.#disk.get(name)! }]);
    } else if (step.does === 'close' && text !== undefined) {
      this.#open.delete(name);
      this.#workspace.close(uri(name));
    } else if (step.does === 'edit' && text !== undefined) {
      const change = changeOf(text, step.edit, references);
      this.#open.set(name, edited(text, change));
      const range = { start: positionIn(text, change.start), end: positionIn(text, change.end) };
      this.#workspace.rewrite(uri(name), [{ range, text: change.text }]);
    } else if (step.does === 'save') {
      const before = this.#disk.get(name)!;
      this.#disk.set(name, edited(before, changeOf(before, step.edit, references)));
      this.#workspace.touched(uri(name));
    }
    for (const open of new Set([...this.#open.keys(), name])) this.#look(open, step.reads);
  }

  /** The effective texts: those in the editor take precedence over those on disk. */
  get #files(): Family {
    return new Map([...this.#disk, ...this.#open]);
  }

  #look(name: string, reads: boolean): void {
    const analysis = this.#workspace.analysisOf(path(name))!;
    const before = this.#held.findLast((one) => one.name === name);
    if (before?.analysis === analysis) return;
    const shown = reads ? this.#program.shownOf(analysis) : undefined;
    this.#held.push({ name, files: this.#files, analysis, shown, before });
  }

  /** Compares everything that was ever shown with what each file shows alone. */
  compareWith(alone: Alone): void {
    for (const { name, files, analysis, shown, before } of this.#held) {
      const expected = alone.shown(name, files);
      if (shown) same(`${name} when it was first read`, shown, expected);
      same(`${name} at the end`, this.#program.shownOf(analysis), expected);
      if (!before) continue;
      const review = this.#program.reviewShown(before.analysis, analysis);
      same(`the review of ${name}`, review, alone.review(name, before.files, files));
    }
    for (const name of this.#open.keys()) {
      const uses = this.#program.usesShown(this.#workspace.analysis(uri(name))!, this.#workspace);
      same(`the uses in ${name}`, uses, alone.uses(name, this.#files));
    }
  }
}

/** Reports only the first difference, because the data of a file is long. */
function same(what: string, shown: unknown, alone: unknown, at = ''): void {
  if (JSON.stringify(shown) === JSON.stringify(alone)) return;
  const isTree = (one: unknown): one is Record<string, unknown> => typeof one === 'object' && one !== null;
  if (isTree(shown) && isTree(alone))
    for (const key of new Set([...Object.keys(alone), ...Object.keys(shown)]))
      same(what, shown[key], alone[key], `${at}.${key}`);
  expect(shown, `${what}${at}`).toEqual(alone);
}

const pick = fc.nat(10_000);

const familyEdit: fc.Arbitrary<FamilyEdit> = fc.record({
  where: fc.constantFrom(...WHERE),
  pick,
  digit: fc.nat(9),
});

const part = fc.record({ section: fc.constantFrom(...SECTIONS), entry: fc.option(pick, { freq: 4 }) });

const overlay = fc.record({
  on: pick,
  parts: fc.uniqueArray(part, { maxLength: 2, selector: ({ section }) => section }),
  controller: fc.boolean(),
  isBelow: fc.boolean(),
  edits: fc.array(familyEdit, { maxLength: 3 }),
});

const recipes = fc.record({
  // Mostly the root that is read fastest.
  root: fc.constantFrom(0, 0, 0, 1, 2),
  overlays: fc.array(overlay, { minLength: 1, maxLength: 3 }),
});

const step: fc.Arbitrary<Step> = fc
  .record({
    does: fc.constantFrom('edit', 'edit', 'edit', 'save', 'open', 'close'),
    file: fc.nat(20),
    reads: fc.boolean(),
    edit: familyEdit,
  })
  .map((one) => one as Step);

describe('what is shown for a file', () => {
  test('is what it shows alone, whatever else was opened, edited, closed and saved before it, after it and between', () => {
    const alone = new Alone();
    const opened = fc.shuffledSubarray([0, 1, 2, 3, 4, 5], { minLength: 2 });
    const steps = fc.array(step, { minLength: 1, maxLength: 5 });
    const property = fc.property(recipes, opened, steps, (recipe, opened, steps) => {
      const window = new Window(familyOf(recipe));
      for (const file of opened) window.take({ does: 'open', file, reads: false });
      for (const one of steps) window.take(one);
      window.compareWith(alone);
    });
    fc.assert(property, { numRuns: 6 });
  });
});
