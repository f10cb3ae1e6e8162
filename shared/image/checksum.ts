/** The kinds of checksum that a controller file can name. */
export type ChecksumKind = 'crc-32' | 'crc-32c' | 'crc-16-ccitt' | 'crc-16-modbus' | 'sum-16' | 'sum-32';

interface Algorithm {
  readonly bytes: 2 | 4;
  readonly of: (bytes: Uint8Array) => number;
}

/**
 * A cyclic redundancy check in the terms of the CRC RevEng catalogue: the polynomial, whether bits are taken from the
 * low end, and the final exclusive or. The register begins with all ones.
 */
interface Crc {
  readonly bytes: 2 | 4;
  readonly polynomial: number;
  readonly reflected: boolean;
  readonly final: number;
}

function crc({ bytes, polynomial, reflected, final }: Crc): Algorithm {
  const width = bytes * 8;
  const mask = bytes === 4 ? 0xffff_ffff : 0xffff;
  const entries = Array.from({ length: 256 }, (_, byte) => {
    let register = reflected ? byte : byte << (width - 8);
    for (let bit = 0; bit < 8; bit++) {
      const out = reflected ? register & 1 : register & (1 << (width - 1));
      register = reflected ? register >>> 1 : register << 1;
      if (out) register ^= polynomial;
    }
    return register & mask;
  });
  const table = Int32Array.from(entries);
  return {
    bytes,
    of(data) {
      let register = mask;
      for (let i = 0; i < data.length; i++) {
        register = reflected
          ? (register >>> 8) ^ table[(register ^ data[i]!) & 0xff]!
          : ((register << 8) ^ table[((register >>> (width - 8)) ^ data[i]!) & 0xff]!) & mask;
      }
      return ((register ^ final) & mask) >>> 0;
    },
  };
}

/** The sum of the bytes, of which the low bits are kept. */
function sum(bytes: 2 | 4): Algorithm {
  const mask = bytes === 4 ? 0xffff_ffff : 0xffff;
  return { bytes, of: (data) => (data.reduce((total, byte) => (total + byte) | 0, 0) & mask) >>> 0 };
}

/** Source: CRC RevEng catalogue: CRC-32/ISO-HDLC, CRC-32/ISCSI, CRC-16/IBM-3740, CRC-16/MODBUS. */
const ALGORITHMS: Readonly<Record<ChecksumKind, Algorithm>> = {
  'crc-32': crc({ bytes: 4, polynomial: 0xedb8_8320, reflected: true, final: 0xffff_ffff }),
  'crc-32c': crc({ bytes: 4, polynomial: 0x82f6_3b78, reflected: true, final: 0xffff_ffff }),
  'crc-16-ccitt': crc({ bytes: 2, polynomial: 0x1021, reflected: false, final: 0 }),
  'crc-16-modbus': crc({ bytes: 2, polynomial: 0xa001, reflected: true, final: 0 }),
  'sum-16': sum(2),
  'sum-32': sum(4),
};

/** The number of bytes in which a checksum is stored. */
export const checksumBytes = (kind: ChecksumKind): number => ALGORITHMS[kind].bytes;

/** The checksum of these bytes. */
export const checksumOf = (kind: ChecksumKind, bytes: Uint8Array): number => ALGORITHMS[kind].of(bytes);
