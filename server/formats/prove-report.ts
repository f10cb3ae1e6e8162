import type { JudgedBound } from '../../shared/limits/verdict.ts';
import type { Envelope } from '../../shared/proof/envelope.ts';

/** The bounds of some files. */
export interface ProveReport {
  readonly files: readonly ProvedFile[];
}

export interface ProvedFile {
  readonly name: string;
  /** Undefined if it is unknown. */
  readonly envelope: Envelope | undefined;
  readonly bounds: readonly JudgedBound[];
  /** How long the proof took; left out where the output must not depend on it. */
  readonly seconds?: number;
}
