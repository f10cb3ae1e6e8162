import type { SourceFile } from '../source/source-file.ts';
import { type Name, namesLike } from './names.ts';

/** A name and the file in which it is written. */
export interface Mention {
  readonly file: SourceFile;
  readonly name: Name;
}

/** The files of one installation: an engine file, its base files and its controller file. */
export type InstallationFiles = readonly SourceFile[];

/**
 * Every place that refers to the same thing as a name in a file. Files share a thing if they belong to one installation
 * and both mention it: a sensor of the same name added by two overlays is two sensors, but if their common base file
 * has the sensor, both overlays change the same one.
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
