import { intelHexText, readIntelHex } from './intel-hex.ts';
import { type ImageFault, Memory, type Window } from './memory.ts';
import { readSRecords, sRecordText } from './s-record.ts';

/** The forms in which an image is written: Intel HEX, S-records, or its bytes alone. */
export type ImageForm = 'hex' | 'srec' | 'bin';

/** The form that the ending of a file name says; undefined for another ending. */
export function formOfName(name: string): ImageForm | undefined {
  const ending = /\.([^./\\]+)$/.exec(name)?.[1]?.toLowerCase() ?? '';
  if (ending === 'hex' || ending === 'bin') return ending;
  return ['s19', 's28', 's37', 'srec'].includes(ending) ? 'srec' : undefined;
}

/** The number of address bytes that the ending of a file of S-records says. */
const ADDRESS_BYTES: Readonly<Record<string, 2 | 3 | 4>> = { s19: 2, s28: 3 };

/**
 * Reads an image file. The form is that of the name's ending; with another ending, that of the first character. Bytes that
 * no record contains are filled.
 */
export function readImage(
  name: string,
  contents: Uint8Array,
  window: Window,
  fill: number,
): Memory | ImageFault {
  const form = formOfName(name) ?? formOfContents(contents);
  const memory = new Memory(window);
  const fault = READERS[form](contents, memory);
  if (fault) return fault;
  memory.fill(fill);
  return memory;
}

const READERS: Readonly<Record<ImageForm, (contents: Uint8Array, memory: Memory) => ImageFault | undefined>> =
  {
    hex: readIntelHex,
    srec: readSRecords,
    bin: readBytes,
  };

const formOfContents = ([first, second = 0]: Uint8Array): ImageForm =>
  first === 0x3a ? 'hex' : first === 0x53 && second >= 0x30 && second <= 0x39 ? 'srec' : 'bin';

function readBytes(contents: Uint8Array, memory: Memory): ImageFault | undefined {
  const { base, size } = memory.window;
  if (contents.length !== size) {
    return {
      line: undefined,
      message: `it has ${contents.length} bytes; the storage of the controller has ${size}`,
    };
  }
  for (let i = 0; i < size; i++) memory.put(base + i, contents[i]!, 1);
  return undefined;
}

/** What an image file contains besides the bytes: where they are, and the title of the engine for a header. */
export interface ImageContents {
  readonly bytes: Uint8Array;
  readonly base: number;
  readonly title: string;
}

/** The contents of an image file; a clause that says why not if its addresses do not reach so far. */
export function imageFile(
  form: ImageForm,
  name: string,
  { bytes, base, title }: ImageContents,
): Uint8Array | string {
  if (form === 'bin') return bytes;
  const ending = /\.([^./\\]+)$/.exec(name)?.[1]?.toLowerCase() ?? '';
  const isShort = form === 'srec' && Object.hasOwn(ADDRESS_BYTES, ending);
  const addressBytes = isShort ? ADDRESS_BYTES[ending]! : 4;
  if (base + bytes.length > 256 ** addressBytes) {
    return `its addresses have ${8 * addressBytes} bits, and the image ends at 0x${(base + bytes.length - 1).toString(16).toUpperCase()}`;
  }
  const encoder = new TextEncoder();
  return encoder.encode(
    form === 'hex'
      ? intelHexText(bytes, base)
      : sRecordText(bytes, base, encoder.encode(title), addressBytes),
  );
}
