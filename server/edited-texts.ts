import { readFileSync } from 'node:fs';
import { UsageError } from './commands/command.ts';
import { readablePath, reason } from './files.ts';
import type { EditedText } from './texts-after-edits.ts';
import { writeWhole } from './whole-file.ts';

/**
 * Writes edited texts; every byte outside the edits stays. All files are read before the first is written. Throws a
 * `UsageError` if one of them cannot be read or written or has changed.
 */
export function writeEdited(edited: readonly EditedText[]): void {
  const files = edited.map(({ path, was, is }) => ({ path, text: markOf(path, was) + is }));
  for (const { path, text } of files) {
    const refusal = writeWhole(path, text);
    if (refusal) throw new UsageError(refusal);
  }
}

/** The byte order mark of a file that still has a text. */
function markOf(path: string, text: string): string {
  const bytes = bytesOf(path);
  const mark = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? '\ufeff' : '';
  if (bytes.equals(Buffer.from(mark + text))) return mark;
  throw new UsageError(
    `${readablePath(path)} has changed while it was read, or is not UTF-8; nothing was written.`,
  );
}

function bytesOf(path: string): Buffer {
  try {
    return readFileSync(path);
  } catch (error) {
    throw new UsageError(`Cannot read ${readablePath(path)}: ${reason(error)}; nothing was written.`);
  }
}

/** Unchanged lines around a change. */
const CONTEXT = 3;

/** A patch that `git apply` takes, for texts with the same number of lines. Paths are relative to the working directory. */
export function patchText(edited: readonly EditedText[]): string {
  return edited.map(filePatch).join('');
}

function filePatch({ path, was, is }: EditedText): string {
  const [old, now] = [was, is].map((text) => text.split('\n'));
  const changed = old!.flatMap((line, i) => (line === now![i] ? [] : [i]));
  const name = readablePath(path);
  const lines = [`--- a/${name}`, `+++ b/${name}`];
  for (let i = 0; i < changed.length; ) {
    let last = i;
    while (last + 1 < changed.length && changed[last + 1]! - changed[last]! <= 2 * CONTEXT) last++;
    const from = Math.max(0, changed[i]! - CONTEXT);
    const to = Math.min(old!.length - (old!.at(-1) === '' ? 1 : 0), changed[last]! + CONTEXT + 1);
    lines.push(`@@ -${from + 1},${to - from} +${from + 1},${to - from} @@`, ...hunk(old!, now!, from, to));
    i = last + 1;
  }
  return `${lines.join('\n')}\n`;
}

function hunk(old: readonly string[], now: readonly string[], from: number, to: number): string[] {
  const marked = (sign: string, lines: readonly string[], i: number) => [
    `${sign}${lines[i]}`,
    ...(i === lines.length - 1 ? ['\\ No newline at end of file'] : []),
  ];
  const lines: string[] = [];
  for (let i = from; i < to; ) {
    if (old[i] === now[i]) {
      lines.push(...marked(' ', old, i++));
      continue;
    }
    const start = i;
    while (i < to && old[i] !== now[i]) i++;
    for (let k = start; k < i; k++) lines.push(...marked('-', old, k));
    for (let k = start; k < i; k++) lines.push(...marked('+', now, k));
  }
  return lines;
}
