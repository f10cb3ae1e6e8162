import type { FaultRow } from '../../../shared/faults/table.ts';
import type { LimitedBound } from '../../../shared/limits/verdict.ts';
import type { Envelope } from '../../../shared/proof/envelope.ts';
import type { EngineAnalysis } from '../../commands/engine-file.ts';
import type { Html } from '../../html.ts';
import type { Revision } from '../../revision.ts';
import type { ValueGroup } from '../derive-report.ts';

/** What every paper of one installation is made from. */
export interface PaperSource {
  /** The engine file as the user named it. */
  readonly name: string;
  readonly analysis: EngineAnalysis;
  /** The name of a file in the report, by its path. */
  readonly fileName: (path: string) => string;
  readonly revision: Revision;
}

/** Everything that the report of one installation shows. */
export interface Dossier extends PaperSource {
  readonly groups: readonly ValueGroup[];
  /** Undefined if it is unknown. */
  readonly envelope: Envelope | undefined;
  readonly bounds: readonly LimitedBound[];
  readonly faults: readonly FaultRow[];
}

/** A chapter of the page. A new chapter is a function that makes it and its line in `page.ts`. */
export interface Chapter {
  readonly id: string;
  readonly title: string;
  readonly body: Html;
}

/** Makes a chapter; undefined if it would be empty. */
export type ChapterMaker = (dossier: Dossier) => Chapter | undefined;
