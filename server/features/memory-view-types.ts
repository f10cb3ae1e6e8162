import type { Place } from './installation-view-types.ts';

/** The storage image of an engine as the memory panel shows it. */
export interface MemoryView {
  readonly title: string;
  /** The address of the first byte. */
  readonly base: number;
  /** The bytes as hexadecimal digits. */
  readonly bytes: string;
  /** `8192 bytes from 0x08040000, digest 8661bf29c837` */
  readonly summary: string;
  /** Why the image must not be used; empty if it may be. */
  readonly problems: readonly { readonly message: string; readonly place: Place | null }[];
  /** Everything that has a place, in the order of the addresses. They may overlap. */
  readonly regions: readonly MemoryRegion[];
}

export interface MemoryRegion {
  /** `boost.target, x axis` */
  readonly label: string;
  readonly kind: 'values' | 'axis' | 'identity' | 'checksum';
  /** The first byte and the one after the last, from the base address. */
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
