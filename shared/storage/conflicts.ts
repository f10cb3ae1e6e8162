import type { Installation } from '../configuration/installation.ts';
import { groupedBy } from '../grouped-by.ts';
import { memo } from '../memo.ts';
import { windowOf } from './image.ts';
import { cellBytes, cellsOf, conflict } from './image-writer.ts';
import { isInside, spanOf } from './layout.ts';
import { labelOf, type StorageFault, type StoredPart, storedParts } from './stored-parts.ts';

/**
 * Fields with one place in the image that store different values. The layout is the same whatever is stored, so this needs
 * neither image nor digest.
 */
export const fieldConflicts = memo((installation: Installation): readonly StorageFault[] => {
  const storage = installation.controller?.storage;
  const window = storage && windowOf(storage);
  if (!storage || !window) return [];
  const isPlaced = ({ part }: StoredPart) => isInside(...spanOf(part), window);
  const places = groupedBy(storedParts(installation).parts.filter(isPlaced), placeText);
  const repeats = storage.unused?.text !== 'fill';
  return [...places.values()].flatMap((parts) => (parts.length > 1 ? conflictsOf(parts, repeats) : []));
});

/** The parts of one place that store something else there than those before them. */
function conflictsOf(parts: readonly StoredPart[], repeats: boolean): StorageFault[] {
  const owners: { readonly stored: StoredPart; readonly bytes: Uint8Array }[] = [];
  return parts.flatMap((stored) => {
    for (const { index, cell } of cellsOf(stored, repeats)) {
      const bytes = cellBytes(stored, cell, true);
      owners[index] ??= { stored, bytes };
      const other = owners[index];
      if (bytes.some((byte, i) => byte !== other.bytes[i]))
        return [conflict(cell, labelOf(stored), labelOf(other.stored))];
    }
    return [];
  });
}

/** Parts with the same text have all bytes in common. */
const placeText = ({ part }: StoredPart): string =>
  `${part.at.canonical} ${part.type.bytes} ${part.rows} ${part.columns}`;
