import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  formatUnit,
  fromUnit,
  isFault,
  type Kind,
  parseAs,
  parseQuantity,
  printQuantity,
  type Quantity,
  type QuantityFault,
  units,
} from '../../shared/quantity/index.ts';

/** The quantity in short: number, unit with reference, canonical number. */
function brief(read: Quantity | QuantityFault): [number, string, number] {
  if (isFault(read)) throw new Error(`${read.fault} at ${read.range}`);
  return [read.number, read.unit ? formatUnit(read.unit, read.reference) : '', read.canonical];
}

/** The fault in short: its kind, the doubtful text, and what should be there instead. */
function fault(text: string, kind?: Kind): string[] {
  const read = kind ? parseAs(kind, text) : parseQuantity(text);
  if (!isFault(read)) throw new Error(`reads as ${brief(read)}`);
  return [read.fault, text.slice(...read.range), ...(read.suggestedText ? [read.suggestedText] : [])];
}

describe('a quantity', () => {
  test.each([
    ['76 mm', 76, 'mm'],
    ['76mm', 76, 'mm'],
    ['85%', 85, '%'],
    ['  3.0   bar ', 3, 'bar'],
    ['150 kPa abs', 150, 'kPa abs'],
    ['150 kPa   abs', 150, 'kPa abs'],
    ['0.5 bar gauge', 0.5, 'bar gauge'],
    ['1.2e-3 s', 1.2e-3, 's'],
    ['+2.45 kΩ', 2.45, 'kohm'],
    ['85 degC', 85, '°C'],
    ['-40 °F', -40, '°F'],
    ['10 µs', 10, 'us'],
    ['10 μs', 10, 'us'],
    ['2.5 mm²', 2.5, 'mm2'],
    ['100 ft-lb', 100, 'lbf.ft'],
    ['165 N·m', 165, 'Nm'],
    ['12.5 US gal', 12.5, 'gal'],
    ['8 byte', 8, 'byte'],
    ['16 AWG', 16, 'AWG'],
    ['9.0', 9, ''],
    ['.5', 0.5, ''],
    ['5.', 5, ''],
    ['0x320', 0x320, ''],
    ['0o17', 15, ''],
  ])('%s', (text, number, unit) => {
    const [readNumber, readUnit, canonical] = brief(parseQuantity(text));
    expect([readNumber, readUnit]).toEqual([number, unit]);
    // The factors of the units are compared with another program in tests/reference/units.test.ts.
    expect(canonical).toBe(unit === '' ? number : fromUnit(number, unit));
  });

  test('says where number and unit stand', () => {
    expect(parseQuantity(' 150 kPa abs ')).toMatchObject({ numberRange: [1, 4], unitRange: [5, 12] });
    expect(parseQuantity('9.0')).not.toHaveProperty('unitRange');
  });

  test('a bare pressure is a difference; nothing else has a reference', () => {
    expect(parseQuantity('3 bar')).toMatchObject({ reference: 'difference' });
    expect(parseQuantity('3 V')).not.toHaveProperty('reference');
  });

  test.each([
    ['', 'not-a-number', ''],
    ['  ', 'not-a-number', '  '],
    ['wide open', 'not-a-number', 'wide open'],
    ['1_000 rpm', 'not-a-number', '1_000'],
    ['1,000 rpm', 'not-a-number', '1,000'],
    ['1 000 rpm', 'not-a-number', '1 000'],
    ['1.5,', 'not-a-number', '1.5,'],
    ['1.2.3 V', 'not-a-number', '1.2.3'],
    ['0..5 V', 'not-a-number', '0..5'],
    ['.nan', 'not-a-number', '.nan'],
    ['1e400 V', 'not-a-number', '1e400'],
    ['1e308 km', 'not-a-number', '1e308'],
    ['1e-400 V', 'not-a-number', '1e-400'],
    ['\u22125 °C', 'not-a-number', '\u22125', '-5'],
    ['76 mn', 'unit-unknown', 'mn', 'mm'],
    ['76 furlong', 'unit-unknown', 'furlong'],
    ['76 mm long', 'unit-unknown', 'long'],
    ['3 bar of boost', 'unit-unknown', 'of boost'],
    ['300 Kpa abs', 'unit-unknown', 'Kpa', 'kPa'],
    ['300 kPa absolute', 'unit-unknown', 'absolute', 'abs'],
    ['3 bar guage', 'unit-unknown', 'guage', 'gauge'],
    ['14 psia', 'unit-unknown', 'psia', 'psi abs'],
    ['3 barg', 'unit-unknown', 'barg', 'bar gauge'],
    ['100 kPa(a)', 'unit-unknown', 'kPa(a)', 'kPa abs'],
    ['5 V abs', 'reference-unexpected', 'abs'],
  ])('%j is a fault', (text, ...expected) => {
    expect(fault(text)).toEqual(expected);
  });

  test('what is printed reads as the very same number', () => {
    const unit = fc.constantFrom(
      '',
      ...units.flatMap((one) =>
        one.dimension === 'pressure'
          ? one.names.flatMap((name) => [name, `${name} abs`, `${name} gauge`])
          : one.names,
      ),
    );
    fc.assert(
      fc.property(fc.double({ noNaN: true, min: -1e300, max: 1e300 }), unit, (number, unitText) => {
        const read = parseQuantity(printQuantity(number, unitText));
        expect(isFault(read)).toBe(false);
        expect(Object.is((read as Quantity).number, number)).toBe(true);
      }),
    );
  });

  test('any text gives a quantity or a fault inside the text', () => {
    const text = fc.oneof(fc.string(), fc.stringMatching(/^[-+]?[\d.,_e]{0,8} {0,2}[a-zA-Z°%/. ]{0,10}$/));
    fc.assert(
      fc.property(text, (written) => {
        const read = parseQuantity(written);
        const [start, end] = isFault(read) ? read.range : read.numberRange;
        expect(0 <= start && start <= end && end <= written.length).toBe(true);
        if (!isFault(read)) expect(Number(written.slice(start, end))).toBe(read.number);
      }),
    );
  });
});

describe('a quantity of a kind', () => {
  test.each<[Kind, string]>([
    ['absolute pressure', '150 kPa abs'],
    ['gauge pressure', '0.5 bar gauge'],
    ['pressure', '150 kPa abs'],
    ['pressure', '0.5 bar gauge'],
    ['pressure difference', '5 kPa'],
    ['rail pressure', '3.0 bar'],
    ['rail pressure', '3.0 bar gauge'],
    ['temperature', '20 °C'],
    ['temperature', '293 K'],
    ['temperature difference', '15 K'],
    ['ratio', '85 %'],
    ['ratio', '0.85'],
    ['number', '14.3'],
    ['fuel flow', '38 L/h'],
    ['fuel flow', '28 kg/h'],
    ['angle per second', '0.5 deg/s'],
    ['angle per second', '0.5 deg'],
    ['any', '3 bar'],
    ['any', '12'],
  ])('%s: %s', (kind, text) => {
    expect(parseAs(kind, text)).toEqual(parseQuantity(text));
  });

  test.each<[Kind, string, ...string[]]>([
    ['length', '76', 'unit-missing', '76'],
    ['number', '9 mm', 'unit-unexpected', 'mm'],
    ['number', '85 %', 'unit-unexpected', '%'],
    ['temperature', '3 bar', 'wrong-kind', 'bar'],
    ['temperature', '68 F', 'wrong-kind', 'F', '°F'],
    ['temperature', '20 C', 'unit-unknown', 'C', '°C'],
    ['temperature difference', '15 °C', 'wrong-kind', '°C', 'K'],
    ['temperature difference', '15 °F', 'wrong-kind', '°F'],
    ['absolute pressure', '150 kPa', 'reference-missing', 'kPa'],
    ['absolute pressure', '0.5 bar gauge', 'reference-unexpected', 'gauge'],
    ['pressure', '150 kPa', 'reference-missing', 'kPa'],
    ['pressure difference', '5 kPa abs', 'reference-unexpected', 'abs'],
    ['rail pressure', '3.0 bar abs', 'reference-unexpected', 'abs'],
    ['fuel flow', '3 bar', 'wrong-kind', 'bar'],
    ['angle', '2 deg/s', 'wrong-kind', 'deg/s'],
    ['angle per second', '2 s', 'wrong-kind', 's'],
    ['rotational speed', '5500 RPM', 'unit-unknown', 'RPM', 'rpm'],
  ])('%s: %s is a fault', (kind, text, ...expected) => {
    expect(fault(text, kind)).toEqual(expected);
  });

  test('a fault keeps what could be read', () => {
    expect(parseAs('absolute pressure', '150 kPa')).toMatchObject({
      unit: { symbol: 'kPa' },
      quantity: { canonical: 150e3 },
    });
    expect(parseAs('length', '76 mn')).toMatchObject({ unitText: 'mn', quantity: { number: 76 } });
  });
});
