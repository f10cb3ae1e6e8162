import { createHash } from 'node:crypto';
import { editedProject, editedTexts } from '../../server/texts-after-edits.ts';
import { type Installation, readInstallation } from '../../shared/configuration/installation.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { readImage } from '../../shared/image/image-file.ts';
import type { Memory, Window } from '../../shared/image/memory.ts';
import type { Edit } from '../../shared/source/edit.ts';
import { buildImage } from '../../shared/storage/image.ts';

export const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');

/** An engine file with the storage of its controller. */
export function stored(engine: string, storage: string) {
  const project = storing(engine, storage);
  return readInstallation(project, project.source('/a.engine.yaml')!);
}

/** The same as a project, with the files `/a.engine.yaml` and `/a.controller.yaml`. */
export function storing(engine: string, storage: string) {
  const files = new Map([
    ['/a.engine.yaml', `enginefile: 1\ncontroller: ./a.controller.yaml\n${engine}`],
    ['/a.controller.yaml', `controllerfile: 1\npins: {}\nstorage:\n${storage.replace(/^/gm, '  ')}\n`],
  ]);
  return createProject((path) => files.get(path));
}

/** The image of an engine file with the storage of its controller. */
export const built = (engine: string, storage: string) => imageOf(stored(engine, storage));

export const imageOf = (installation: Installation) => buildImage(installation, sha256)!;

/** An installation after edits of its texts. */
export function edited({ file, files }: Installation, edits: readonly Edit[]) {
  const project = editedProject(files, editedTexts(files, edits));
  return readInstallation(project, project.source(file.path)!);
}

/** Bytes as the image file of a layout gives them. */
export const memoryOf = (bytes: Uint8Array, window: Window) =>
  readImage('x.bin', bytes, window, 0xff) as Memory;
