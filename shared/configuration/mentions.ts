import type { SourceFile } from '../source/source-file.ts';
import { type Name, namesLike } from './names.ts';

/** A name and the file that it stands in. */
export interface Mention {
  readonly file: SourceFile;
  readonly name: Name;
}

/** The files of one installation: an engine file, what it is based on, its controller file. */
export type InstallationFiles = readonly SourceFile[];

/**
 * Every place that means the same thing as a name in a file. A name goes from file to file where both speak of it and
 * are read together: two overlays that each add a sensor of one name have nothing to do with each other, but two that
 * change a sensor of their common base have.
 */
export function mentionsOf(
  wanted: Name,
  from: SourceFile,
  installations: readonly InstallationFiles[],
): Mention[] {
  const speaking = new Map<SourceFile, Mention[]>();
  const waiting = [from];
  for (let file = waiting.pop(); file; file = waiting.pop()) {
    if (speaking.has(file)) continue;
    const mentions = mentionsIn(file, wanted);
    if (mentions.length === 0) continue;
    speaking.set(file, mentions);
    for (const together of installations) if (together.includes(file)) waiting.push(...together);
  }
  return [...speaking.values()].flat();
}

export function mentionsIn(file: SourceFile, wanted: Name): Mention[] {
  return namesLike(file, wanted).map((name) => ({ file, name }));
}
