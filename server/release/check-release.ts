import { lstatSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { sha256 } from '#host';
import { readInstallation } from '../../shared/configuration/installation.ts';
import { createProject, fileKind } from '../../shared/configuration/project.ts';
import { counted } from '../../shared/counted.ts';
import { compareImage, matches } from '../../shared/storage/verify.ts';
import { type Status, UsageError } from '../commands/command.ts';
import { projectPath, reason } from '../files.ts';
import { printable, visible } from '../formats/layout.ts';
import { faultTexts, imageOf, memoryIn } from '../images.ts';
import { IMAGE_NAMES } from './contents.ts';
import { MANIFEST, PREDICATE_TYPE, STATEMENT_TYPE } from './manifest.ts';

/** The signature that `ssh-keygen` writes beside a manifest, which cannot list it. */
const SIGNATURE = `${MANIFEST}.sig`;

/** The result of checking a release folder, for people and programs. */
export interface CheckedRelease {
  readonly status: Status;
  readonly text: string;
  readonly json: string;
}

/** The parts of a manifest that are read again. */
interface Manifest {
  readonly subject: readonly { readonly name: string; readonly digest: { readonly sha256: string } }[];
  readonly predicate: {
    readonly engine_file: string;
    readonly content_digest: string;
    readonly revision: string | null;
  };
}

/** Compares every file of a release with its manifest, and its images with its engine file. */
export function checkRelease(folder: string): CheckedRelease {
  const manifest = readManifest(folder);
  const { contents, problems: found } = readListed(folder, manifest);
  // Names in the folder and texts of the manifest may contain anything.
  const problems = (found.length > 0 ? found : imageProblems(folder, contents, manifest)).map(printable);
  const { revision, content_digest: digest } = manifest.predicate;
  const isWhole = problems.length === 0;
  const lines = isWhole
    ? [
        `${folder} is whole: ${counted(manifest.subject.length, 'file')}, revision ${visible(revision ?? '(none)')}, digest ${digest}.`,
        'The image holds what the engine file in it says. The manifest itself is only as trustworthy as its signature.',
      ]
    : problems;
  const report = { matches: isWhole, files: manifest.subject.length, revision, digest, problems };
  return {
    status: isWhole ? 0 : 1,
    text: `${lines.join('\n')}\n`,
    json: `${asciiOf(JSON.stringify(report, null, 2))}\n`,
  };
}

function readManifest(folder: string): Manifest {
  const path = join(folder, MANIFEST);
  const text = new TextDecoder().decode(readBytes(path));
  let read: unknown;
  try {
    read = JSON.parse(text);
  } catch {
    throw new UsageError(`${path} is not JSON.`);
  }
  if (!isManifest(read)) throw new UsageError(`${path} is not the manifest of a release.`);
  return read;
}

function isManifest(read: unknown): read is Manifest {
  const { _type, predicateType, subject, predicate } = (read ?? {}) as Record<string, unknown>;
  const { engine_file, content_digest, revision } = (predicate ?? {}) as Record<string, unknown>;
  const isSubject = (one: { name?: unknown; digest?: { sha256?: unknown } } | null) =>
    typeof one?.name === 'string' && isPlainName(one.name) && typeof one.digest?.sha256 === 'string';
  return (
    _type === STATEMENT_TYPE &&
    predicateType === PREDICATE_TYPE &&
    Array.isArray(subject) &&
    subject.every(isSubject) &&
    typeof engine_file === 'string' &&
    typeof content_digest === 'string' &&
    (revision === null || typeof revision === 'string')
  );
}

/** A name inside the folder that is printed as it is: whoever wrote the manifest must not make this program read other files. */
const isPlainName = (name: string): boolean =>
  !name.split('/').some((step) => step === '' || step === '.' || step === '..') &&
  !/[\\:]/.test(name) &&
  visible(name) === name;

/** JSON leaves some characters as they are that control a terminal. */
const asciiOf = (json: string): string =>
  json.replace(/[^ -~\n]/g, (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`);

/** The contents of the files of a manifest, by name. */
type Contents = ReadonlyMap<string, Uint8Array>;

/** Reads the files of a manifest, and nothing else: a name in the folder may be a pipe, or lead out of it. */
function readListed(folder: string, { subject }: Manifest): { contents: Contents; problems: string[] } {
  const found = new Map(entriesBelow(folder, ''));
  const contents = new Map<string, Uint8Array>();
  const problems = subject.flatMap(({ name, digest: { sha256: wanted } }) => {
    const isFile = found.get(name);
    if (isFile === undefined) return [`${name} is missing.`];
    if (!isFile) return [`${name} is not a regular file.`];
    const bytes = readBytes(join(folder, name));
    const own = sha256(bytes);
    if (own !== wanted)
      return [`${name} has been changed: its SHA-256 is ${own}, the manifest says ${wanted}.`];
    contents.set(name, bytes);
    return [];
  });
  const known = new Set([MANIFEST, SIGNATURE, ...subject.map(({ name }) => name)]);
  for (const [name, isFile] of found) {
    if (!known.has(name)) problems.push(`${name} is not in the manifest.`);
    else if (name === SIGNATURE && !isFile) problems.push(`${name} is not a regular file.`);
  }
  return { contents, problems };
}

/** Everything below a folder except folders, and whether it is a regular file. Links are not followed. */
function entriesBelow(folder: string, below: string): [name: string, isFile: boolean][] {
  return read(join(folder, below), (path) => readdirSync(path, { withFileTypes: true }))
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((entry) => {
      const name = below === '' ? entry.name : `${below}/${entry.name}`;
      return entry.isDirectory() ? entriesBelow(folder, name) : [[name, entry.isFile()]];
    });
}

const readBytes = (path: string): Uint8Array =>
  read(path, () => {
    if (!lstatSync(path).isFile()) throw new Error('it is not a regular file');
    return readFileSync(path);
  });

function read<Result>(path: string, attempt: (path: string) => Result): Result {
  try {
    return attempt(path);
  } catch (error) {
    throw new UsageError(`Cannot read ${path}: ${reason(error)}.`);
  }
}

/** Builds the image again from the files of the manifest, and reads no others. */
function imageProblems(folder: string, contents: Contents, { predicate }: Manifest): string[] {
  const { engine_file: engine, content_digest: digest } = predicate;
  const pathOf = (name: string) => projectPath(join(folder, name));
  const files = new Map([...contents].map(([name, bytes]) => [pathOf(name), bytes]));
  const project = createProject((path) => {
    const bytes = files.get(path);
    return bytes && new TextDecoder().decode(bytes);
  });
  const source = fileKind(engine) === 'engine' ? project.source(pathOf(engine)) : undefined;
  if (!source) return [`${engine} is not an engine file in the manifest.`];
  const installation = readInstallation(project, source);
  if (installation.links.length > 0) return [`${engine} names a file that is not in the manifest.`];
  const images = Object.values(IMAGE_NAMES).filter((name) => contents.has(name));
  if (images.length === 0) return ['The release contains no image.'];
  const built = imageOf(installation, engine);
  if (built.faults.length > 0) return faultTexts(installation.files, built.faults);
  const revision = installation.configuration.revision?.text ?? null;
  return [
    ...difference(engine, 'revision', revision, predicate.revision),
    ...difference(engine, 'digest', built.digest, digest),
    ...images
      .filter((name) => !matches(compareImage(built, memoryIn(name, contents.get(name)!, built))))
      .map((name) => `${name} does not hold what ${engine} says.`),
  ];
}

const difference = (engine: string, name: string, own: string | null, stated: string | null): string[] =>
  own === stated
    ? []
    : [`${engine} has the ${name} ${own ?? '(none)'}, the manifest says ${stated ?? '(none)'}.`];
