import type { Analysis } from '../analysis.ts';
import type { EngineSubject } from '../checks/check.ts';
import { type FaultRow, faultTable, READ_BY_FAULTS } from '../faults/table.ts';
import { FAULT_SEVERITIES } from '../faults/words.ts';
import { groupedBy } from '../grouped-by.ts';
import { canChange } from './can-change.ts';
import type { Change } from './change.ts';
import type { PathMap } from './renames.ts';

/** A single fault that a change made worse: with a worse severity, or no longer noticed or shown. */
export interface FaultConsequence {
  readonly type: 'fault';
  readonly was: FaultRow;
  readonly is: FaultRow;
  readonly isMoreSevere: boolean;
  /** The controller no longer detects it, or no light and no missing signal shows it any more. */
  readonly isUnnoticed: boolean;
}

/** Whether the changes between two states of an engine file, or in its controller files, can change a fault. */
export const canChangeFaults = (was: Analysis, is: Analysis, changes: readonly Change[]): boolean =>
  canChange(was, is, changes, READ_BY_FAULTS);

/**
 * The faults that are in both tables and worse in the new one. The faults of an added part belong to the change that adds it.
 */
export function faultConsequences(was: Analysis, is: Analysis, mapped: PathMap): FaultConsequence[] {
  const [old, now] = [tableOf(was), tableOf(is)];
  const before = groupedBy(old, (row) => mapped(row.of));
  return now.flatMap((row) => {
    const same = before.get(row.of) ?? [];
    // A sensor that gains or loses its substitute value fails in other ways than before, the worst of which it may have had.
    const one =
      same.find(({ fault }) => fault === row.fault) ??
      (isOfSensor(row) ? worstOf(same.filter(isOfSensor)) : undefined);
    return one && one !== row ? worse(one, row) : [];
  });
}

const rankOf = ({ severity }: FaultRow): number => FAULT_SEVERITIES.indexOf(severity);

const worstOf = (rows: readonly FaultRow[]): FaultRow | undefined =>
  [...rows].sort((a, b) => rankOf(a) - rankOf(b))[0];

/** Whether the fault is that of a sensor, not of its wires. */
const isOfSensor = ({ of, fault }: FaultRow): boolean =>
  of.startsWith('sensors.') && ['substitute', 'low', 'high', 'lost'].includes(fault);

const tableOf = ({ subject }: Analysis): readonly FaultRow[] => faultTable(subject as EngineSubject);

function worse(was: FaultRow, is: FaultRow): FaultConsequence[] {
  const [before, after] = [rankOf(was), rankOf(is)];
  // A hidden fault that is announced now is better, although a harmless one is further down.
  const isMoreSevere = after < before && is.severity !== 'announces';
  const isUnnoticed = (was.noticed && !is.noticed) || (was.toldBy.length > 0 && is.toldBy.length === 0);
  // An engine that stops shows its fault by itself.
  const isWorse = isMoreSevere || (isUnnoticed && is.severity !== 'stops');
  return isWorse ? [{ type: 'fault', was, is, isMoreSevere, isUnnoticed }] : [];
}

/** Whether a fault stops or damages the engine now and did not before. */
export const isNewlySevere = ({ is, isMoreSevere }: FaultConsequence): boolean =>
  isMoreSevere && (is.severity === 'stops' || is.severity === 'damages');
