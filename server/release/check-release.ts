import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { sha256 } from '#host';
import { analyse } from '../../shared/analysis.ts';
import { fileKind } from '../../shared/configuration/project.ts';
import { counted } from '../../shared/counted.ts';
import { matches } from '../../shared/storage/verify.ts';
import { type Status, UsageError } from '../commands/command.ts';
import type { EngineAnalysis } from '../commands/engine-file.ts';
import { diskProject, projectPath, reason } from '../files.ts';
import { verification } from '../verification.ts';
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
    readonly tool: { readonly version: string };
  };
}

/** Compares every file of a release with its manifest, and its images with its engine file. */
export function checkRelease(folder: string): CheckedRelease {
  const manifest = readManifest(folder);
  const problems = fileProblems(folder, manifest);
  if (problems.length === 0) problems.push(...imageProblems(folder, manifest));
  const { revision, content_digest: digest } = manifest.predicate;
  const isWhole = problems.length === 0;
  const lines = isWhole
    ? [
        `${folder} is whole: ${counted(manifest.subject.length, 'file')}, revision ${revision ?? '(none)'}, digest ${digest}.`,
        'The image holds what the engine file in it says. The manifest itself is only as trustworthy as its signature.',
      ]
    : problems;
  const report = { matches: isWhole, files: manifest.subject.length, revision, digest, problems };
  return {
    status: isWhole ? 0 : 1,
    text: `${lines.join('\n')}\n`,
    json: `${JSON.stringify(report, null, 2)}\n`,
  };
}

function readManifest(folder: string): Manifest {
  const path = join(folder, MANIFEST);
  let read: unknown;
  try {
    read = JSON.parse(readFileSync(path, 'utf8'));
  } catch (error) {
    throw new UsageError(`Cannot read ${path}: ${reason(error)}.`);
  }
  if (!isManifest(read)) throw new UsageError(`${path} is not the manifest of a release.`);
  return read;
}

function isManifest(read: unknown): read is Manifest {
  const { _type, predicateType, subject, predicate } = (read ?? {}) as Record<string, unknown>;
  const { engine_file, content_digest } = (predicate ?? {}) as Record<string, unknown>;
  const isSubject = (one: { name?: unknown; digest?: { sha256?: unknown } } | null) =>
    typeof one?.name === 'string' && isPlainName(one.name) && typeof one.digest?.sha256 === 'string';
  return (
    _type === STATEMENT_TYPE &&
    predicateType === PREDICATE_TYPE &&
    Array.isArray(subject) &&
    subject.every(isSubject) &&
    typeof engine_file === 'string' &&
    typeof content_digest === 'string'
  );
}

/** A name inside the folder: whoever wrote the manifest must not make this program read other files. */
const isPlainName = (name: string): boolean =>
  !name.split('/').some((step) => step === '' || step === '.' || step === '..') && !/[\\\0:]/.test(name);

function fileProblems(folder: string, { subject }: Manifest): string[] {
  const listed = new Map(subject.map(({ name, digest }) => [name, digest.sha256]));
  const found = new Set(filesBelow(folder, ''));
  const wrong = [...listed].flatMap(([name, wanted]) => {
    if (!found.has(name)) return [`${name} is missing.`];
    const own = sha256(readFileSync(join(folder, name)));
    return own === wanted
      ? []
      : [`${name} has been changed: its SHA-256 is ${own}, the manifest says ${wanted}.`];
  });
  const others = [...found].filter((name) => !listed.has(name) && name !== MANIFEST && name !== SIGNATURE);
  return [...wrong, ...others.map((name) => `${name} is not in the manifest.`)];
}

function filesBelow(folder: string, below: string): string[] {
  return readdirSync(join(folder, below), { withFileTypes: true }).flatMap((entry) => {
    const name = below === '' ? entry.name : `${below}/${entry.name}`;
    return entry.isDirectory() ? filesBelow(folder, name) : [name];
  });
}

/** Builds the image again from the engine file in the folder. */
function imageProblems(folder: string, { subject, predicate }: Manifest): string[] {
  const names = subject.map(({ name }) => name);
  const { engine_file: engine, content_digest: digest } = predicate;
  if (!names.includes(engine)) return [`${engine} is not in the manifest.`];
  const sources = names.filter((name) => fileKind(name)).map((name) => join(folder, name));
  const path = join(folder, engine);
  const analysis = analyse(diskProject(sources), projectPath(path));
  const { installation, derivation } = analysis ?? {};
  if (!analysis || !installation || !derivation) return [`${engine} cannot be read.`];
  const whole: EngineAnalysis = { ...analysis, installation, derivation };
  const images = Object.values(IMAGE_NAMES).filter((name) => names.includes(name));
  if (images.length === 0) return ['The release contains no image.'];
  return images.flatMap((name) => {
    const found = verification(join(folder, name), path, whole, () => false);
    return [
      ...(matches(found.differences) ? [] : [`${name} does not hold what ${engine} says.`]),
      ...(found.built.digest === digest
        ? []
        : [`${engine} has the digest ${found.built.digest}, the manifest says ${digest}.`]),
    ];
  });
}
