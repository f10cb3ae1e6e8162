import { changeArea } from '../../shared/compare/areas.ts';
import type { BoundConsequence } from '../../shared/compare/bounds.ts';
import { type Change, isRenaming, type Step } from '../../shared/compare/change.ts';
import type { Consequence } from '../../shared/compare/consequence.ts';
import type { FaultConsequence } from '../../shared/compare/faults.ts';
import type { FindingConsequence } from '../../shared/compare/findings.ts';
import { type GridAxis, type GridDifference, placeInGrid } from '../../shared/compare/grid.ts';
import type { Item } from '../../shared/compare/item.ts';
import type { LimitMargin } from '../../shared/compare/limit-margin.ts';
import { cappedConsequences } from '../../shared/compare/sections.ts';
import { stepIn, stepUnit } from '../../shared/compare/step.ts';
import type { ValueConsequence } from '../../shared/compare/values.ts';
import { changeText, inUnit, placeName } from '../../shared/compare/words.ts';
import type { FaultRow } from '../../shared/faults/table.ts';
import type { LimitedBound } from '../../shared/limits/verdict.ts';
import { witnessTexts } from '../../shared/proof/witness.ts';
import { pathText, plainValue } from '../../shared/source/tree.ts';
import { plainText } from '../plain-text.ts';
import {
  type ComparedFile,
  type ComparedState,
  type CompareFormat,
  fileName,
  locateNode,
  placeOfFinding,
} from './compare-report.ts';

/**
 * For programs. The structure is documented; keys may be added, but none removed. Lines count from 0.
 */
export const compareJson: CompareFormat<Entries> = {
  part: (file) => ({
    changes: file.comparison.changes.map((change) => changeEntry(file, change)),
    consequences: [
      ...cappedConsequences(file.own.consequences).map((one) => consequenceEntry(file, one)),
      ...cappedConsequences(file.comparison.consequences.filter((one) => file.inherited.has(one))).map(
        (one) => ({ ...consequenceEntry(file, one), inherited: true }),
      ),
    ],
  }),
  write({ files }) {
    const whole: Entries = {
      changes: files.flatMap(({ part }) => part.changes),
      consequences: files.flatMap(({ part }) => part.consequences),
    };
    return `${JSON.stringify(whole, null, 2)}\n`;
  },
};

interface Entries {
  readonly changes: readonly object[];
  readonly consequences: readonly object[];
}

function changeEntry(file: ComparedFile, change: Change) {
  const item = (change.is ?? change.was)!;
  return {
    file: fileName(file),
    type: change.type,
    area: changeArea(change),
    path: pathText(item.path),
    ...(isRenaming(change) && { oldPath: pathText(change.was.path) }),
    label: placeName(item),
    text: changeText(change),
    ...(change.was && { old: plainValue(change.was.node), oldStart: startOf(file.was, change.was) }),
    ...(change.is && { new: plainValue(change.is.node), newStart: startOf(file.is, change.is) }),
    ...(change.type === 'value' && change.step && { difference: stepOf(change.step) }),
    ...(change.type === 'table' && { grid: gridOf(change.grid) }),
    ...(isRenaming(change) && {
      references: change.references.map(({ was, is }) => ({
        path: pathText(is.path),
        old: plainValue(was.node),
        new: plainValue(is.node),
      })),
    }),
  };
}

function startOf(state: ComparedState | undefined, item: Item) {
  return state && locateNode(state, item.node)?.range.start;
}

function stepOf({ canonical, unit, ratio }: Step) {
  return {
    value: stepIn(canonical, unit),
    unit: unit || '1',
    percent: ratio === undefined ? null : ratio * 100,
  };
}

function gridOf(grid: GridDifference) {
  const { x, y, unit, was, is, moved, rise, fall, resampled } = grid;
  const rows = (numbers: readonly number[]) => rowsOf(grid, numbers);
  const isMoved = new Set(moved);
  const delta = was.map((before, i) => (isMoved.has(i) ? stepIn(is[i]! - before, stepUnit(unit)) : 0));
  const extreme = (index: number | undefined) =>
    index === undefined ? null : { ...placeInGrid(grid, index), delta: delta[index]! };
  return {
    resampled,
    x: axisOf(x),
    y: y ? axisOf(y) : null,
    unit: unit || '1',
    deltaUnit: stepUnit(unit) || '1',
    moved: moved.length,
    cells: was.length,
    rise: extreme(rise),
    fall: extreme(fall),
    old: rows(was.map((number) => inUnit(number, unit))),
    new: rows(is.map((number) => inUnit(number, unit))),
    delta: rows(delta),
  };
}

function axisOf({ quantity, unit, breakpoints }: GridAxis) {
  return { quantity, unit: unit || '1', breakpoints: breakpoints.map((point) => inUnit(point, unit)) };
}

function rowsOf({ x }: GridDifference, numbers: readonly number[]): number[][] {
  const width = x.breakpoints.length;
  return Array.from({ length: numbers.length / width }, (_, row) =>
    numbers.slice(row * width, (row + 1) * width),
  );
}

function consequenceEntry(file: ComparedFile, consequence: Consequence) {
  return {
    file: fileName(file),
    ...entryOf(file, consequence),
  };
}

function entryOf(file: ComparedFile, consequence: Consequence) {
  if (consequence.type === 'finding') return findingEntry(file, consequence);
  if (consequence.type === 'fault') return faultEntry(consequence);
  return consequence.type === 'bound' ? boundEntry(consequence) : valueEntry(consequence);
}

function boundEntry({ was, is, step, limit }: BoundConsequence) {
  const { id, label, side, mapSet, fault, unit, show } = (is ?? was)!;
  const stateOf = (bound: LimitedBound | undefined) =>
    bound
      ? {
          ...{ bound: bound.bound, reached: bound.reached, verdict: bound.verdict },
          witness: witnessTexts(bound),
        }
      : null;
  return {
    ...{ type: 'bound', id, label, side, map_set: mapSet ?? null, fault: fault ?? null, unit: unit || '1' },
    ...{ old: stateOf(was), new: stateOf(is), difference: step ? stepOf(step) : null },
    limit: limitOf(limit, show),
  };
}

function faultEntry({ was, is, isMoreSevere, isUnnoticed }: FaultConsequence) {
  const stateOf = ({ severity, noticed, toldBy, reasons }: FaultRow) => ({
    ...{ severity, noticed, told_by: toldBy, reasons: reasons.map(plainText) },
  });
  return {
    ...{ type: 'fault', of: is.of, fault: is.fault, old: stateOf(was), new: stateOf(is) },
    ...{ more_severe: isMoreSevere, unnoticed: isUnnoticed },
  };
}

function findingEntry(file: ComparedFile, consequence: FindingConsequence) {
  const { was, is, rule, severity, severityWas, finding, reason } = consequence;
  const state = is === 'none' ? file.was : file.is;
  return {
    type: 'finding',
    old: was,
    new: is,
    rule,
    severity,
    ...(severityWas && { oldSeverity: severityWas }),
    message: plainText(finding.message),
    path: finding.path,
    start: state ? placeOfFinding(state, finding).start : null,
    ...(finding.leftOut !== undefined && { leftOut: finding.leftOut }),
    ...(reason !== undefined && { reason }),
  };
}

function valueEntry({ id, label, at, point, was, is, step, moved, limit, isConditional }: ValueConsequence) {
  const known = (is ?? was)!;
  return {
    type: 'value',
    id,
    label,
    at,
    ...(point !== undefined && { point }),
    unit: known.reported.unit,
    old: was ? was.reported.value : null,
    new: is ? is.reported.value : null,
    difference: step ? stepOf(step) : null,
    moved,
    ...(limit && { limit: limitOf(limit, known.show) }),
    ...(isConditional && { conditional: true }),
  };
}

function limitOf({ label, side, canonical, was, is, at, accepted }: LimitMargin, show: string) {
  const margin = (one: number | undefined) => (one === undefined ? null : stepIn(one, stepUnit(show)));
  return {
    label,
    side,
    value: inUnit(canonical, show),
    unit: show || '1',
    marginUnit: stepUnit(show) || '1',
    oldMargin: margin(was),
    newMargin: margin(is),
    at,
    ...(accepted !== undefined && { accepted }),
  };
}
