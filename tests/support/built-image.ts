import { createHash } from 'node:crypto';
import { readInstallation } from '../../shared/configuration/installation.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { buildImage } from '../../shared/storage/image.ts';

export const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');

/** The image of an engine file with the storage of its controller. */
export function built(engine: string, storage: string) {
  const files = new Map([
    ['/a.engine.yaml', `enginefile: 1\ncontroller: ./a.controller.yaml\n${engine}`],
    ['/a.controller.yaml', `controllerfile: 1\npins: {}\nstorage:\n${storage.replace(/^/gm, '  ')}\n`],
  ]);
  const project = createProject((path) => files.get(path));
  return buildImage(readInstallation(project, project.source('/a.engine.yaml')!), sha256)!;
}
