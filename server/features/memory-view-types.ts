import type { Place } from './installation-view-types.ts';

/** The storage image of an engine as the memory panel shows it. */
export interface MemoryView {
  readonly title: string;
  /** The address of the first byte. */
  readonly base: number;
  /** In bytes. */
  readonly size: number;
  /** The rows that a region touches, in the order of their addresses; the others are free. */
  readonly rows: readonly MemoryRow[];
  /** The number of further such rows, which are left out; what follows the last row is then not known to be free. */
  readonly left: number;
  /** `8192 bytes from 0x08040000, digest 8661bf29c837` */
  readonly summary: string;
  /** Why the image must not be used; empty if it may be. */
  readonly problems: readonly { readonly message: string; readonly place: Place | null }[];
  /** Everything that has a place in the image, in the order of the addresses. They may overlap. */
  readonly regions: readonly MemoryRegion[];
}

export interface MemoryRow {
  /** From the base address. */
  readonly at: number;
  /** 16 bytes, or fewer at the end of the image, as hexadecimal digits. */
  readonly bytes: string;
}

export interface MemoryRegion {
  /** `boost.target, x axis` */
  readonly label: string;
  readonly kind: 'values' | 'axis' | 'identity' | 'checksum';
  /** The first byte in the image and the one after the last, from the base address. */
  readonly start: number;
  readonly end: number;
  /** Where its address is written. */
  readonly place: Place | null;
  /** The stored values in it. */
  readonly cells: readonly MemoryCell[];
}

export interface MemoryCell {
  /** From the base address. */
  readonly at: number;
  readonly bytes: number;
  /** `350 cc/min, stored as 3500` */
  readonly text: string;
  /** Where the value is written. */
  readonly place: Place | null;
}
