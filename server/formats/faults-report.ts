import type { FaultRow } from '../../shared/faults/table.ts';

/** The fault tables of some files. */
export interface FaultsReport {
  readonly files: readonly FaultsOfFile[];
}

export interface FaultsOfFile {
  /** As the user named it. */
  readonly name: string;
  readonly rows: readonly FaultRow[];
}
