import type { Analysis } from '../../shared/analysis.ts';
import { type Change, isRenaming, type TableChange } from '../../shared/compare/change.ts';
import { placeInGrid } from '../../shared/compare/grid.ts';
import { changePlace, changeText, gridText, leafText } from '../../shared/compare/words.ts';
import { offsetsOf, type SourceFile } from '../../shared/source/source-file.ts';
import type { Node } from '../../shared/source/tree.ts';
import { isWrittenIn } from '../places.ts';
import type { OldValue } from '../protocol.ts';
import { positionBehind } from './inlay-hints.ts';

/** The committed value of each place of the working text that has changed. */
export function oldValues({ file }: Analysis, changes: readonly Change[]): OldValue[] {
  return changes.flatMap((change) => {
    if (!change.was || !change.is || !isWrittenIn(file, change.is.node)) return [];
    if (change.type === 'table') return tableHints(file, change);
    const was = isRenaming(change) ? String(change.was.path.at(-1)) : leafText(change.was);
    return [
      { position: positionBehind(file, change.is.node), text: `was ${short(was)}`, tooltip: tooltip(change) },
    ];
  });
}

/** Up to this many changed cells have a hint each; beyond it, or if the breakpoints changed, the table has one hint. */
const MOST_CELLS = 24;

function tableHints(file: SourceFile, change: TableChange): OldValue[] {
  const { grid, was, is } = change;
  const [before, after] = [was.value, is.value];
  if (before?.type !== 'table' || after?.type !== 'table') return [];
  if (grid.resampled || grid.moved.length > MOST_CELLS) {
    const position = positionBehind(file, is.node);
    return [{ position, text: short(gridText(grid)), tooltip: tooltip(change) }];
  }
  const unit = before.unit === after.unit || before.unit === '' ? '' : ` ${before.unit}`;
  return grid.moved.flatMap((index) => {
    const { row, column } = placeInGrid(grid, index);
    const [old, cell]: (Node | undefined)[] = [before.rows[row]?.[column], after.rows[row]?.[column]];
    if (old?.type !== 'scalar' || !cell || !isWrittenIn(file, cell)) return [];
    const position = file.lines.position(offsetsOf(file, cell).end);
    return [{ position, text: `was ${old.text}${unit}`, tooltip: tooltip(change) }];
  });
}

const tooltip = (change: Change): string => `${changePlace(change)}: ${changeText(change)}`;

const LONGEST = 60;

const short = (text: string): string => (text.length > LONGEST ? `${text.slice(0, LONGEST - 1)}…` : text);
