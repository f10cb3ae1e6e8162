import { describe, expect, test } from 'vitest';
import * as canaerospace from '../../shared/conventions/canaerospace.ts';
import type { Coding } from '../../shared/conventions/convention.ts';
import * as j1939 from '../../shared/conventions/j1939.ts';
import { readSignal } from '../../shared/physics/bus-signal.ts';
import { isFault, parseAs, toUnit } from '../../shared/quantity/index.ts';

const bytesOf = (hex: string) => Uint8Array.from(Buffer.from(hex, 'hex'));

/** The number of counts in a frame, decoded at the place that the table gives. */
function countsIn(hex: string, coding: Coding): number {
  const bytes = bytesOf(hex);
  const raw = readSignal(bytes, coding);
  return coding.isFloat ? Buffer.from(raw.toString(16).padStart(8, '0'), 'hex').readFloatBE() : Number(raw);
}

/** `0.125 rpm` → 0.125 */
const numberIn = (text: string): number => Number.parseFloat(text);

/**
 * Frames computed from the published tables of J1939-71 (see the table itself for
 * where these were read): SPN, group, identifier, data, value in the unit of the table.
 */
const J1939_FRAMES = [
  [190, 0x0cf00400, 'ffffff204effffff', 2500],
  [190, 0x0cf00400, 'ffffff201affffff', 836],
  [110, 0x18feee00, '82ffffffffffffff', 90],
  [175, 0x18feee00, 'ffff602dffffffff', 90],
  [102, 0x18fef600, 'ff3cffffffffffff', 120],
  [108, 0x18fef500, 'cbffffffffffffff', 101.5],
  [173, 0x18fef600, 'ffffffffffc08bff', 845],
  [183, 0x18fef200, '1c02ffffffffffff', 27],
  [168, 0x18fef700, 'ffffffff1801ffff', 14],
  [51, 0x18fef200, 'fffffffffffffaff', 100],
  [100, 0x18feef00, 'ffffff64ffffffff', 400],
] as const;

describe('SAE J1939', () => {
  test.each(J1939_FRAMES)('SPN %i in 0x%s', (spn, id, data, value) => {
    const { parameters } = j1939.publishedIn(j1939.splitIdentifier(id).pgn)!;
    const coding = parameters.find(({ name }) => name.endsWith(`(SPN ${spn})`))!.codings[0]!;
    const decoded = countsIn(data, coding) * numberIn(coding.scale) + numberIn(coding.offset);
    expect(decoded).toBeCloseTo(value, 9);
  });

  // Identifier, priority, group, source, destination: the rules of J1939-21.
  test.each([
    [0x0cf00400, 3, 61444, 0, undefined],
    [0x18feee00, 6, 65262, 0, undefined],
    [0x18eaff00, 6, 59904, 0, 255],
    [0x18ea0017, 6, 59904, 23, 0],
    [0x1cecff00, 7, 60416, 0, 255],
  ])('identifier %i', (id, priority, pgn, source, destination) => {
    expect(j1939.splitIdentifier(id)).toEqual({ priority, pgn, source, destination });
  });

  test('the first engine sends a group under the identifier that splits into it', () => {
    expect(j1939.identifierOf(61444)).toBe(0x0cf00400);
    expect(j1939.identifierOf(65262)).toBe(0x18feee00);
  });
});

/**
 * CANaerospace V1.7: identifier, number of the type, data with the header, value in the published unit; computed from the
 * rules of the specification.
 */
const ENGINE_FRAMES = [
  [500, 2, '0b02000145160000', 2400],
  [528, 2, '0b020007447e0000', 1016],
  [540, 2, '0b02000843e29333', 453.15],
  [524, 2, '0b0200ff41dc0000', 27.5],
  [520, 2, '0b020000448bc4cd', 1118.15],
  [500, 12, '0b0c000409600000', 2400],
] as const;

describe('CANaerospace', () => {
  test.each(ENGINE_FRAMES)('identifier %i with data type %i', (id, type, data, value) => {
    const { codings } = canaerospace.publishedAs(id)!.parameters[0]!;
    const coding = codings.find((one) => canaerospace.dataTypes[one.type as 'FLOAT'].number === type)!;
    expect(bytesOf(data)[1]).toBe(type);
    expect(countsIn(data, coding) * numberIn(coding.scale)).toBeCloseTo(value, 3);
  });

  test('temperatures are in kelvin and pressures in hectopascal', () => {
    const scaleOf = (id: number) => canaerospace.publishedAs(id)!.parameters[0]!.codings[0]!.scale;
    expect([520, 536, 540, 548].map(scaleOf)).toEqual(['1 K', '1 K', '1 K', '1 K']);
    expect([528, 532, 684].map(scaleOf)).toEqual(['1 hPa', '1 hPa', '1 hPa']);
  });

  test('engine and channel follow from the identifier', () => {
    expect(canaerospace.publishedAs(529)!.title).toBe('manifold pressure of engine 2, channel A');
    expect(canaerospace.publishedAs(592)!.title).toBe('manifold pressure of engine 1, channel B');
    expect(canaerospace.publishedAs(300)).toBeUndefined();
  });
});

test('every scale and offset of a quantity is one that a file can state', () => {
  const all = [...j1939.groups.keys()].flatMap((pgn) => j1939.publishedIn(pgn)!.parameters);
  const engine = Array.from(
    { length: 421 },
    (_, i) => canaerospace.publishedAs(500 + i)?.parameters ?? [],
  ).flat();
  const used = [...all, ...engine].filter(({ quantity }) => quantity !== undefined);
  expect(used.length).toBeGreaterThan(80);
  for (const { name, codings } of used)
    for (const { scale, offset } of codings)
      for (const text of [scale, offset]) {
        const read = parseAs('any', text);
        expect(isFault(read), `${name}: ${text}`).toBe(false);
      }
  // 273 below zero of J1939 is 273 °C, not absolute zero.
  const oil = parseAs('any', '-273 °C');
  expect(!isFault(oil) && toUnit(oil.canonical, 'K')).toBeCloseTo(0.15, 9);
});
