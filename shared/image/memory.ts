/** What is wrong with an image file, and in which of its lines, counted from 1. */
export interface ImageFault {
  readonly line: number | undefined;
  /** A clause without a full stop. */
  readonly message: string;
}

/** The addresses that a controller stores: `size` bytes from `base`. */
export interface Window {
  readonly base: number;
  readonly size: number;
}

/** In bytes. A layout may have an address space; no engine needs that much, and the memory of this computer is finite. */
export const LARGEST_IMAGE = 64 * 1024 * 1024;

/**
 * The memory that an image file describes, as far as the layout reaches. Its size is that of the layout, whatever the
 * file says, so that no address in a file can use up the memory of this computer.
 */
export class Memory {
  readonly bytes: Uint8Array;
  /** The line that gave each byte; 0 for a byte that is in no record. */
  readonly #lines: Uint32Array;
  #given = 0;

  constructor(readonly window: Window) {
    this.bytes = new Uint8Array(window.size);
    this.#lines = new Uint32Array(window.size);
  }

  /** Stores a byte at an absolute address. Returns what is wrong with it. */
  put(address: number, byte: number, line: number): ImageFault | undefined {
    const at = address - this.window.base;
    if (at < 0 || at >= this.window.size) return { line, message: this.#outside(address) };
    const earlier = this.#lines[at]!;
    if (earlier > 0 && this.bytes[at] !== byte) {
      const message = `${hexAddress(address)} is ${hexByte(byte)} here and ${hexByte(this.bytes[at]!)} in line ${earlier}`;
      return { line, message };
    }
    if (earlier === 0) this.#given++;
    this.bytes[at] = byte;
    this.#lines[at] = line;
    return undefined;
  }

  /** Whether the file contains all of these bytes; `at` is relative to the base. */
  has(at: number, count: number): boolean {
    for (let i = 0; i < count; i++) if (!this.#lines[at + i]) return false;
    return true;
  }

  /** The number of bytes of the layout that no record contains. */
  get missingCount(): number {
    return this.window.size - this.#given;
  }

  /** Gives every byte that no record contains this value. */
  fill(byte: number): void {
    this.#lines.forEach((line, at) => {
      if (line === 0) this.bytes[at] = byte;
    });
  }

  #outside(address: number): string {
    const { base, size } = this.window;
    return `${hexAddress(address)} is outside the storage of the controller, ${hexAddress(base)}..${hexAddress(base + size - 1)}`;
  }
}

export const hexByte = (byte: number): string => byte.toString(16).toUpperCase().padStart(2, '0');

/** `0x08040000` */
export const hexAddress = (address: number): string =>
  `0x${address
    .toString(16)
    .toUpperCase()
    .padStart(address > 0xffff ? 8 : 4, '0')}`;

/** Bytes as hexadecimal digits without blanks, in capitals. */
export const hexText = (bytes: Uint8Array): string => Array.from(bytes, hexByte).join('');
