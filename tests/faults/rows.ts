import type { EngineSubject } from '../../shared/checks/check.ts';
import type { FaultKind } from '../../shared/derived/loss.ts';
import { type FaultRow, faultTable } from '../../shared/faults/table.ts';
import { analyseCase } from '../support/fixture.ts';

/** The complete installation with changes. */
export const analysed = (changes = '') =>
  analyseCase(new Map([['case.engine.yaml', `based_on: ./complete.engine.yaml\n${changes}`]]));

export function tableOf(changes = '') {
  const analysis = analysed(changes);
  const rows = faultTable(analysis.subject as EngineSubject);
  return { analysis, rows, row: rowIn(rows) };
}

/** Finds the row of a fault, or the first row of what fails. */
export const rowIn =
  (rows: readonly FaultRow[]) =>
  (of: string, fault?: FaultKind): FaultRow =>
    rows.find((one) => one.of === of && (fault === undefined || one.fault === fault))!;

export const effect = (row: FaultRow, id: string, point = 'take_off') =>
  row.effects.find((one) => one.id === id && one.point === point);
