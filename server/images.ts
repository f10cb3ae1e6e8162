import { readFileSync, statSync } from 'node:fs';
import { sha256 } from '#host';
import { type Analysis, analyse } from '../shared/analysis.ts';
import type { Installation } from '../shared/configuration/installation.ts';
import { createProject, fileKind } from '../shared/configuration/project.ts';
import { type ImageForm, imageFile, readImage } from '../shared/image/image-file.ts';
import type { Memory } from '../shared/image/memory.ts';
import { offsetsOf, type SourceFile } from '../shared/source/source-file.ts';
import { buildImage, fillOf, type StorageImage } from '../shared/storage/image.ts';
import { UsageError } from './commands/command.ts';
import { readablePath, reason } from './files.ts';
import { printable } from './formats/layout.ts';
import { plainText } from './plain-text.ts';

/** The image of an installation. Throws a `UsageError` if its controller file does not describe one. */
export function imageOf(installation: Installation, name: string): StorageImage {
  const built = buildImage(installation, sha256);
  if (built) return built;
  const why = installation.controller
    ? 'its controller file states no `storage` with a `size` of up to 64 MiB'
    : 'it has no controller file that can be read';
  throw new UsageError(`${name} has no image: ${why}.`);
}

/** A file with its findings, as an analysis has them. */
type Judged = Pick<Analysis, 'files' | 'findings'>;

/** The analyses of the controller files that an engine file names: their layouts and pins have findings of their own. */
export const controllerAnalyses = (files: readonly SourceFile[]): Analysis[] =>
  files.flatMap(({ path, text }) => {
    const analysis =
      fileKind(path) === 'controller'
        ? analyse(
            createProject(() => text),
            path,
          )
        : undefined;
    return analysis ? [analysis] : [];
  });

/**
 * Why an image must not be used: findings of severity error and faults of the build, each as `PLACE: SENTENCE`. A fault
 * at the place of a finding is the same fact.
 */
export function imageProblems(analyses: readonly Judged[], { faults }: StorageImage): string[] {
  const errors = analyses.flatMap(({ files, findings }) =>
    findings
      .filter(({ severity }) => severity === 'error')
      .map(({ file, start, message, rule }) => ({
        place: placeText(files, file, start),
        text: `${plainText(message)} [${rule}]`,
      })),
  );
  const told = new Set(errors.map(({ place }) => place));
  const others = faultsIn(analyses[0]?.files ?? [], faults).filter(({ place }) => !told.has(place));
  return [...errors, ...others].map(problemText);
}

interface Problem {
  readonly place: string;
  readonly text: string;
}

const problemText = ({ place, text }: Problem): string => printable(`${place}: ${text}`);

/** Faults of a build, each as `PLACE: SENTENCE`. */
export const faultTexts = (files: readonly SourceFile[], faults: StorageImage['faults']): string[] =>
  faultsIn(files, faults).map(problemText);

const faultsIn = (files: readonly SourceFile[], faults: StorageImage['faults']): Problem[] =>
  faults.map(({ node, message }) => {
    const file = files.find(({ path }) => path === node.chunk.file);
    const start = file?.chunks.has(node.chunk) ? offsetsOf(file, node).start : 0;
    return { place: placeText(files, node.chunk.file, start), text: plainText(message) };
  });

/** `engine.yaml:12:5` */
function placeText(files: readonly SourceFile[], path: string, start: number): string {
  const position = files.find((file) => file.path === path)?.lines.position(start);
  return position
    ? `${readablePath(path)}:${position.line + 1}:${position.character + 1}`
    : readablePath(path);
}

/** In bytes: several times the largest image as records. */
const LONGEST_IMAGE_FILE = 512 * 1024 * 1024;

/** Reads an image file for a layout. Throws a `UsageError` with the line if it cannot be trusted. */
export const memoryOf = (name: string, layout: ImageLayout): Memory =>
  memoryIn(name, readContents(name), layout);

type ImageLayout = Pick<StorageImage, 'window' | 'storage'>;

/** The same for the contents of an image file. */
export function memoryIn(name: string, contents: Uint8Array, { window, storage }: ImageLayout): Memory {
  const read = readImage(name, contents, window, fillOf(storage));
  if (!('message' in read)) return read;
  const place = read.line === undefined ? name : `${name}:${read.line}`;
  throw new UsageError(`${place}: ${plainText(read.message)}.`);
}

function readContents(name: string): Uint8Array {
  try {
    const found = statSync(name);
    if (!found.isFile()) throw new Error(found.isDirectory() ? 'it is a folder' : 'it is not a regular file');
    if (found.size > LONGEST_IMAGE_FILE) throw new Error('it is too long for an image');
    return readFileSync(name);
  } catch (error) {
    throw new UsageError(`Cannot read ${name}: ${reason(error)}.`);
  }
}

/** The contents of an image file. Throws a `UsageError` if its addresses do not reach so far. */
export function imageContents(
  { bytes, window }: StorageImage,
  { configuration }: Installation,
  form: ImageForm,
  name: string,
): Uint8Array {
  const title = configuration.title?.text ?? '';
  const contents = imageFile(form, name, { bytes, base: window.base, title });
  if (typeof contents === 'string') throw new UsageError(`Cannot write ${name}: ${contents}.`);
  return contents;
}
