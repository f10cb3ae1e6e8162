import { createProject, type Project } from '../shared/configuration/project.ts';
import { groupedBy } from '../shared/grouped-by.ts';
import type { Edit } from '../shared/source/edit.ts';
import { offsetsOf, type SourceFile } from '../shared/source/source-file.ts';

/** A file and its text after some edits. */
export interface EditedText {
  readonly path: string;
  readonly was: string;
  readonly is: string;
}

/** Applies edits, which must not overlap, to the texts of their files. */
export function editedTexts(files: readonly SourceFile[], edits: readonly Edit[]): EditedText[] {
  const byPath = groupedBy(edits, ({ span }) => span.chunk.file);
  return files.flatMap((file) => {
    const own = byPath.get(file.path);
    if (!own) return [];
    const placed = own.map(({ span, text }) => ({ ...offsetsOf(file, span), text }));
    placed.sort((a, b) => a.start - b.start);
    let [is, at] = ['', 0];
    for (const { start, end, text } of placed) {
      is += file.text.slice(at, start) + text;
      at = end;
    }
    return [{ path: file.path, was: file.text, is: is + file.text.slice(at) }];
  });
}

/** The project with the edited texts instead of its own; the other files are those that were read. */
export function editedProject(files: readonly SourceFile[], edited: readonly EditedText[]): Project {
  const texts = new Map(files.map(({ path, text }) => [path, text]));
  for (const { path, is } of edited) texts.set(path, is);
  return createProject((path) => texts.get(path));
}
