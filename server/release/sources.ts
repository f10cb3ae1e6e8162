import { dirname } from 'node:path';
import type { Analysis } from '../../shared/analysis.ts';
import { readInstallation } from '../../shared/configuration/installation.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { UsageError } from '../commands/command.ts';
import { type EngineAnalysis, engineProject, wholeAnalysis } from '../commands/engine-file.ts';
import { projectPath } from '../files.ts';
import { controllerAnalyses } from '../images.ts';
import { type Revision, revisionOf } from '../revision.ts';

/** The folder of a release with the files that it was made from. */
const SOURCES = 'sources';

/** The files that a release is made from, by names that do not depend on where they are on this machine. */
export interface Sources {
  /** The analysis of the same texts in the folder of the release. */
  readonly analysis: EngineAnalysis;
  /** The analyses of the controller files, also of a standby, which have findings of their own. */
  readonly controllers: readonly { readonly name: string; readonly analysis: Analysis }[];
  /** The engine file in the folder of the release: `sources/a.engine.yaml`. */
  readonly name: string;
  readonly revision: Revision;
  /** The name of a file in the folder of the release, by its path in `analysis`. */
  readonly fileName: (path: string) => string;
}

/** Reads an engine file with its base files and controller file. Throws a `UsageError` if that is impossible. */
export function readSources(name: string, command: string): Sources {
  const { project: disk, path: engine } = engineProject(name, command);
  const source = disk.source(engine);
  if (!source) throw new UsageError(`${name} cannot be read.`);
  const { file, files, links } = readInstallation(disk, source);
  if (links.length > 0)
    throw new UsageError(`A file that ${name} names cannot be read. Run \`enginewright check ${name}\`.`);
  const common = commonFolder(files.map(({ path }) => path));
  const own = (path: string) => `${SOURCES}/${path.slice(common.length + 1)}`;
  // Relative names of such paths are the same in every working directory.
  const moved = new Map(files.map(({ path, text }) => [projectPath(own(path)), text]));
  const project = createProject((path) => moved.get(path));
  const analysis = wholeAnalysis(project, projectPath(own(file.path)), name);
  if (analysis.installation.links.length > 0) {
    throw new UsageError(
      `${name} names a base file or controller file by an absolute path; a release needs relative paths.`,
    );
  }
  const revision = revisionOf(files);
  const root = withoutSlash(projectPath('.'));
  const fileName = (path: string) => (path.startsWith(`${root}/`) ? path.slice(root.length + 1) : path);
  return {
    controllers: controllerAnalyses(analysis.files).map((one) => ({
      name: fileName(one.file.path),
      analysis: one,
    })),
    analysis,
    name: own(file.path),
    revision: { ...revision, files: revision.files.map((one, i) => ({ ...one, name: own(files[i]!.path) })) },
    fileName,
  };
}

/** The innermost folder that contains all the files, without a final `/`: empty if only the root does. */
export function commonFolder([first = '', ...others]: readonly string[]): string {
  const isCommon = (folder: string) => others.every((path) => path.startsWith(`${folder}/`));
  let folder = dirname(first);
  // The root is its own parent.
  while (folder !== dirname(folder) && !isCommon(folder)) folder = dirname(folder);
  return withoutSlash(folder);
}

const withoutSlash = (folder: string): string => folder.replace(/\/$/, '');

/** The analyses of the engine file and of the controller files. */
export const analysesOf = ({ analysis, controllers }: Sources): Analysis[] => [
  analysis,
  ...controllers.map((one) => one.analysis),
];

/** All findings of a release and all accepted ones. */
export function judgementsOf(sources: Sources): Pick<Analysis, 'findings' | 'accepted'> {
  const all = analysesOf(sources);
  return {
    findings: all.flatMap(({ findings }) => findings),
    accepted: all.flatMap(({ accepted }) => accepted),
  };
}
