import type { RunConfiguration } from '../../generated/configuration.ts';
import type { Engine, Installation } from '../configuration/installation.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import type { Columns } from './columns.ts';

/** What a run is read with. */
export interface FoldOptions {
  readonly run: RunConfiguration;
  readonly path: string;
  readonly installation: Installation;
  readonly points: readonly OperatingPoint[];
  /** The engines that rows may be of, the one without a map set first if it may be. */
  readonly engines: readonly Engine[];
  readonly columns: Columns;
  /** The smallest step that the digits of a column show so far, in canonical units. */
  resolution(column: number): number;
}
