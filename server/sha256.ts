import { sha256 as hash } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';

/** SHA-256 as lower-case hexadecimal digits; a text counts as UTF-8. A library, because a browser has none that answers at once. */
export const sha256 = (contents: string | Uint8Array): string =>
  bytesToHex(hash(typeof contents === 'string' ? utf8ToBytes(contents) : contents));
