import { sha256 } from '#host';
import { version } from '../../package.json';
import type { JudgedBound } from '../../shared/limits/verdict.ts';
import { witnessTexts } from '../../shared/proof/witness.ts';
import type { StorageImage } from '../../shared/storage/image.ts';
import { changedThresholds } from '../formats/report-html/findings.ts';
import { judgementsOf, type Sources } from './sources.ts';

export const MANIFEST = 'manifest.json';
export const STATEMENT_TYPE = 'https://in-toto.io/Statement/v1';
/** Identifies the form of our predicate; there is nothing to fetch at this address. */
export const PREDICATE_TYPE = 'https://enginewright.example/release/v1';

/** A file of a release. */
export interface ReleaseFile {
  readonly name: string;
  readonly contents: string | Uint8Array;
}

/** What a release was made from. */
export interface Basis {
  readonly sources: Sources;
  readonly built: StorageImage;
  readonly bounds: readonly JudgedBound[];
}

/**
 * What a release consists of, as an in-toto Statement (https://github.com/in-toto/attestation, version 1): its files by their
 * digests, and how they came about. It contains no time, host or path of this machine, so the same inputs give the same
 * bytes.
 */
export function manifestText(files: readonly ReleaseFile[], basis: Basis): string {
  const subject = files.map(({ name, contents }) => ({ name, digest: { sha256: sha256(contents) } }));
  const statement = {
    _type: STATEMENT_TYPE,
    subject,
    predicateType: PREDICATE_TYPE,
    predicate: predicateOf(basis),
  };
  return `${JSON.stringify(statement, null, 2)}\n`;
}

function predicateOf({ sources, built, bounds }: Basis) {
  const { analysis, revision, name } = sources;
  const { configuration } = analysis.installation;
  const { commit, files } = revision;
  const { findings, accepted } = judgementsOf(sources);
  return {
    tool: { name: 'Enginewright', version },
    title: configuration.title?.text ?? null,
    revision: configuration.revision?.text ?? null,
    engine_file: name,
    content_digest: built.digest,
    git: commit ? { commit: commit.id, clean: files.every(({ committed }) => committed === true) } : null,
    findings: findings.map(({ rule, severity, path, message }) => ({
      rule,
      severity,
      path,
      message,
    })),
    accepted: accepted.map(({ finding, reason }) => ({
      rule: finding.rule,
      path: finding.path,
      message: finding.message,
      reason,
    })),
    thresholds: changedThresholds(configuration).map((one) => ({ ...one, default: one.default ?? null })),
    verdicts: bounds.flatMap((bound) => (bound.limit && bound.verdict ? [verdictEntry(bound)] : [])),
  };
}

function verdictEntry(judged: JudgedBound) {
  const { id, side, mapSet, fault, bound, unit, limit, verdict } = judged;
  return {
    ...{ id, side, map_set: mapSet ?? null, fault: fault ?? null, verdict, bound, unit: unit || '1' },
    limit: { value: limit!.value, at: limit!.at },
    ...(verdict !== 'holds' && { witness: witnessTexts(judged) }),
  };
}
