import { assert as check, property, subarray } from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readInstallation } from '../../shared/configuration/installation.ts';
import { fieldConflicts } from '../../shared/storage/conflicts.ts';
import { contentText } from '../../shared/storage/digest.ts';
import { storedParts } from '../../shared/storage/stored-parts.ts';
import { built, imageOf, sha256, stored, storing } from '../support/built-image.ts';

const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex');

const ENGINE = `revision: B
engine: { idle_speed: 1300 rpm, firing_order: [1, 3, 4, 2] }
fuel:
  injectors:
    static_flow: 345.25 cc/min
    timing: sequential
    dead_time:
      x: { quantity: battery_voltage, unit: V, breakpoints: [8, 12.05] }
      unit: ms
      values: [2.7005, 1.3]
  target_lambda:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [1000, 6000] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [30, 180] }
    values: [[1, 0.995], [0.865, 0.8]]
ignition: { advance_range: -10.5..40 deg }
boost: { overboost_cut: 175 kPa abs }
closed_loop: { fuel_pressure: { compensate: true } }
map_sets:
  sets:
    tow: {}
    ferry: { apply: { boost: { overboost_cut: 1500 hPa abs } } }
`;

const FIELDS = `fields:
  engine.idle_speed: { at: 0, type: u16, scale: 1 rpm }
  engine.firing_order: { at: 2, type: u8, columns: 5 }
  fuel.injectors.static_flow: { at: 7, type: u16, scale: 0.1 cc/min }
  fuel.injectors.timing: { at: 9, type: u8, codes: { sequential: 3, paired: 4 } }
  fuel.injectors.dead_time: { at: 10, type: u16, scale: 0.001 ms, columns: 3, x_at: 16, x_type: u8, x_scale: 0.1 V }
  fuel.target_lambda: { at: 20, type: u8, scale: 0.01, rows: 3, columns: 3 }
  ignition.advance_range: { at: 30, type: i16, scale: 1 deg, columns: 2 }
  boost.overboost_cut: { at: 36, type: f32 }
  closed_loop.fuel_pressure.compensate: { at: 40, type: u8, codes: { true: 1, false: 0 } }
  map_set[2].boost.overboost_cut: { at: 42, type: i32, scale: 0.1 kPa, offset: 0 kPa abs }
`;

/** Source: by hand, field by field. */
test('each value is at its place in the byte order of the storage', () => {
  const little = built(ENGINE, `byte_order: little\nsize: 48 byte\n${FIELDS}`);
  expect(little.faults).toEqual([]);
  const bytes = hex(little.bytes);
  const at = (start: number, count: number) => bytes.slice(2 * start, 2 * (start + count));
  expect(at(0, 2)).toBe('1405');
  expect(at(2, 5)).toBe('0103040202');
  // 3452.5 counts.
  expect(at(7, 2)).toBe('7d0d');
  expect(at(9, 1)).toBe('03');
  // 2700.5 and 1300 counts, the last repeated.
  expect(at(10, 6)).toBe('8d0a14051405');
  // 120.5 counts.
  expect(at(16, 3)).toBe('507979');
  // 0.995 is 99.5 counts, 0.865 is 86.5; no double is either number.
  expect(at(20, 9)).toBe('646464575050575050');
  // −10.5 goes away from zero.
  expect(at(30, 4)).toBe('f5ff2800');
  expect(Buffer.from(bytes, 'hex').readFloatLE(36)).toBe(175_000);
  expect(at(40, 1)).toBe('01');
  expect(at(42, 4)).toBe('dc050000');
  // Bytes of no field.
  expect([at(19, 1), at(29, 1), at(34, 2), at(41, 1), at(46, 2)]).toEqual(['ff', 'ff', 'ffff', 'ff', 'ffff']);
  const big = built(ENGINE, `byte_order: big\nsize: 48 byte\nfill: 0\nunused: fill\n${FIELDS}`);
  const view = Buffer.from(big.bytes);
  expect(view.readUInt16BE(7)).toBe(3453);
  expect(view.readInt16BE(30)).toBe(-11);
  expect(view.readFloatBE(36)).toBe(175_000);
  expect(view.readInt32BE(42)).toBe(1500);
  expect(hex(view.subarray(2, 7))).toBe('0103040200');
  expect(hex(view.subarray(10, 16))).toBe('0a8d05140000');
  expect(hex(view.subarray(20, 29))).toBe('646400575000000000');
});

test('the digest is that of the stored numbers as canonical JSON', () => {
  const { digest, parts } = built(ENGINE, `byte_order: little\nsize: 48 byte\n${FIELDS}`);
  const text =
    '{"boost.overboost_cut":{"values":[[175000]]},"closed_loop.fuel_pressure.compensate":{"values":[[1]]},' +
    '"engine.firing_order":{"values":[[1,3,4,2]]},"engine.idle_speed":{"values":[[1300]]},' +
    '"fuel.injectors.dead_time":{"values":[[2701,1300]],"x":[80,121]},' +
    '"fuel.injectors.static_flow":{"values":[[3453]]},"fuel.injectors.timing":{"values":[[3]]},' +
    '"fuel.target_lambda":{"values":[[100,100],[87,80]]},"ignition.advance_range":{"values":[[-11,40]]},' +
    '"map_set[2].boost.overboost_cut":{"values":[[1500]]}}';
  expect(contentText(parts)).toBe(text);
  expect(digest).toBe(sha256(text));
});

test('comments, spelling and layout do not change the digest; a stored number does', () => {
  const layout = `byte_order: little\nsize: 48 byte\n${FIELDS}`;
  const { digest } = built(ENGINE, layout);
  const spelt = ENGINE.replace('345.25 cc/min', '20.715 L/h # per hour').replace('1300 rpm', '1.3e3 rpm');
  expect(built(spelt, layout).digest).toBe(digest);
  const moved = `byte_order: big\nsize: 64 byte\nfill: 3\n${FIELDS.replace('at: 42', 'at: 50').replace('columns: 5', 'columns: 4')}`;
  expect(built(ENGINE, moved).digest).toBe(digest);
  expect(built(ENGINE.replace('345.25', '345.24'), layout).digest).not.toBe(digest);
});

test('the identity is the revision and the first digits of the digest; checksums are computed in their order', () => {
  const image = built(
    ENGINE,
    `byte_order: big\nsize: 96 byte\nidentity: { at: 50, length: 20 byte }
checksum: [{ kind: crc-16-ccitt, at: 86, over: 0..79 }, { kind: sum-32, at: 92, over: 0..87 }]\n${FIELDS}`,
  );
  expect(image.faults).toEqual([]);
  const bytes = Buffer.from(image.bytes);
  expect(bytes.subarray(50, 70).toString('latin1')).toBe(`B ${image.digest.slice(0, 12)}\0\0\0\0\0\0`);
  expect(bytes.readUInt16BE(86)).toBe(image.checksums[0]!.value);
  const sum = bytes.subarray(0, 88).reduce((total, byte) => total + byte, 0);
  expect(bytes.readUInt32BE(92)).toBe(sum);
});

test.each([
  [
    'a word without a code',
    'fuel.injectors.timing: { at: 0, type: u8, codes: { paired: 1 } }',
    /`sequential`, for which/,
  ],
  [
    'a code that is too large',
    'fuel.injectors.timing: { at: 0, type: u8, codes: { sequential: 256 } }',
    /which `u8` cannot/,
  ],
  [
    'a value that is too large',
    'engine.idle_speed: { at: 0, type: u8, scale: 5 rpm }',
    /1300 rpm, which its field cannot store/,
  ],
  [
    'half a count too much',
    'engine.idle_speed: { at: 0, type: u8, scale: 1 rpm, offset: 1044.5 rpm }',
    /1300 rpm, which/,
  ],
  [
    'a table that is too large',
    'fuel.target_lambda: { at: 0, type: u8, scale: 0.01, columns: 2 }',
    /has 2 x 2 values/,
  ],
  ['a scale of another quantity', 'engine.idle_speed: { at: 0, type: u16, scale: 1 ms }', /does not fit/],
  [
    'an axis that the value does not have',
    'fuel.injectors.dead_time: { at: 0, type: u16, scale: 0.001 ms, columns: 2, x_at: 8, y_at: 16 }',
    /^`fuel\.injectors\.dead_time` has no y axis, but its field stores one\.$/,
  ],
  [
    'an axis of a single number',
    'engine.idle_speed: { at: 0, type: u16, scale: 1 rpm, x_at: 8 }',
    /^`engine\.idle_speed` has no x axis, but its field stores one\.$/,
  ],
  [
    'a place beyond the end',
    'engine.idle_speed: { at: 47, type: u16, scale: 1 rpm }',
    /ends beyond the image/,
  ],
  [
    'one place for two different values',
    'engine.idle_speed: { at: 0, type: u16 }\n  boost.overboost_cut: { at: 1, type: u16, scale: 1 kPa }',
    /same place in the controller and different values/,
  ],
])('%s is an error of the build', (_, fields, message) => {
  const { faults } = built(ENGINE, `byte_order: little\nsize: 48 byte\nfields:\n  ${fields}`);
  expect(faults.map((fault) => fault.message).join('\n')).toMatch(message);
});

test('a value that is written and cannot be used is an error of the build; one that is not written is filled', () => {
  const storage =
    'byte_order: little\nsize: 4 byte\nfields: { engine.idle_speed: { at: 0, type: u16, scale: 1 rpm } }';
  expect(built('engine: { idle_speed: 90000 rpm }', storage).faults).toMatchObject([
    { message: 'The value of `engine.idle_speed` cannot be used, so it cannot be stored.' },
  ]);
  const { faults, bytes } = built('engine: { cylinders: 4 }', storage);
  expect([faults, hex(bytes)]).toEqual([[], 'ffffffff']);
});

test.each([
  ['engine: { firing_order: [1, 3, four, 2] }', 'engine.firing_order'],
  [
    'sensors: { oil_pressure: { kind: linear, scaling: { 0.5 V: 0 kPa gauge, 4.5 V: x } } }',
    'sensors.oil_pressure.scaling',
  ],
])('%s cannot be stored', (engine, key) => {
  const storage = `byte_order: little\nsize: 16 byte\nfields: { ${key}: { at: 0, type: u8, columns: 4, x_at: 8 } }`;
  expect(built(engine, storage).faults.map(({ message }) => message)).toEqual([
    `A number of \`${key}\` is missing or cannot be read.`,
  ]);
});

test('an edit leaves the stored parts of other values as they are', () => {
  const project = storing(ENGINE, `byte_order: little\nsize: 48 byte\n${FIELDS}`);
  const partsNow = () => storedParts(readInstallation(project, project.source('/a.engine.yaml')!)).parts;
  const before = partsNow();
  const { text } = project.source('/a.engine.yaml')!;
  project.rewrite('/a.engine.yaml', [
    { text: text.replace('1300 rpm', '1310 rpm').replace(/^/, '# more\n') },
  ]);
  const after = partsNow();
  const isOther = ({ key }: { key: string }) => !key.startsWith('engine.');
  expect(before.filter(isOther)).toHaveLength(9);
  expect(after.map((part, i) => part === before[i])).toEqual(before.map(isOther));
  expect(after[0]!.cells[0]!.raw).toBe(1310);
});

describe.each(['repeat', 'fill'])('two maps that share the place of an axis, with unused: %s', (unused) => {
  const map = (unit: string, points: readonly number[]) =>
    `{ x: { quantity: engine_speed, unit: rpm, breakpoints: [1, 2] }, y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [${points}] }, ${unit}values: [${points.map(() => '[1, 1]')}] }`;
  const sharing = (one: readonly number[], other: readonly number[]) =>
    stored(
      `fuel: { target_lambda: ${map('', one)} }\nignition: { advance: ${map('unit: deg, ', other)} }`,
      `byte_order: little\nsize: 96 byte\nunused: ${unused}\nfields:
  fuel.target_lambda: { at: 32, type: u8, scale: 0.5, rows: 4, columns: 2, y_at: 4, y_scale: 1 kPa }
  ignition.advance: { at: 64, type: u8, scale: 1 deg, rows: 4, columns: 2, y_at: 4, y_scale: 1 kPa }`,
    );

  test('conflict without an image as they do in it', () => {
    const axis = subarray([10, 20, 30, 40], { minLength: 2 });
    check(
      property(axis, axis, (one, other) => {
        const installation = sharing(one, other);
        expect(fieldConflicts(installation)).toEqual(imageOf(installation).faults);
      }),
    );
  });

  test('conflict where a place that both use, or repeat, differs', () => {
    const isConflict = (one: number[], other: number[]) => fieldConflicts(sharing(one, other)).length > 0;
    expect(isConflict([10, 20], [10, 20])).toBe(false);
    expect(isConflict([10, 20], [10, 30])).toBe(true);
    expect(isConflict([10, 20], [10, 20, 30])).toBe(unused === 'repeat');
  });
});

test('a size is exact, and a part of a byte is an error', () => {
  const sized = (size: string, more = '') =>
    built('revision: B', `byte_order: little\nsize: ${size}\n${more}`);
  // 8.04 · 1000 is 8039.999999999999 in doubles.
  expect([sized('8.04 kbit').bytes.length, sized('8.04 kbit').faults]).toEqual([1005, []]);
  expect(sized('100 bit').faults).toMatchObject([{ message: '`100 bit` is not a whole number of bytes.' }]);
  expect(sized('64 byte', 'identity: { at: 0, length: 20.5 byte }').faults).toMatchObject([
    { message: '`20.5 byte` is not a whole number of bytes.' },
  ]);
});

test('the identity must fit, and needs a revision in ASCII', () => {
  const storage = 'byte_order: little\nsize: 48 byte\nidentity: { at: 0, length: 14 byte }';
  const messages = (engine: string) => built(engine, storage).faults.map((fault) => fault.message);
  expect(messages('revision: B')).toEqual([]);
  expect(messages('revision: B2')).toEqual([
    'The revision `B2` makes an identity of 15 characters; the controller stores 14.',
  ]);
  expect(messages('title: x')[0]).toMatch(/needs the `revision`/);
  expect(messages('revision: Ü')[0]).toMatch(/cannot spell/);
});
