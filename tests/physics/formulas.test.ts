import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { citation } from '../../shared/physics/citation.ts';
import { electricalFormulas } from '../../shared/physics/electrical.ts';
import {
  type Formula,
  formulas,
  fuelFlow,
  fuelMassPerCycle,
  grades,
  injectorPulseWidth,
  protectorSource,
  type Source,
  type SourceKey,
  sources,
} from '../../shared/physics/index.ts';
import { toUnit } from '../../shared/quantity/index.ts';
import { outsideValues } from '../reference/values/index.ts';
import { statedSymbols, symbolsOf } from './expression.ts';

/** Those of sensors, wiring and bus have their own test; external values are required for all. */
const electrical = new Set<unknown>(electricalFormulas);
const engineFormulas = formulas.filter((formula) => !electrical.has(formula));
const named = engineFormulas.map((formula) => ({ id: formula.id, formula }));

/** Any numbers within the ranges in which the formula is meant to hold. */
function validInputs(formula: Formula): fc.Arbitrary<Record<string, number>> {
  const ranges = Object.entries(formula.terms).map(([name, { valid }]) => {
    if (!valid) throw new Error(`${formula.id}: ${name} has no valid range`);
    return [name, fc.double({ min: valid[0], max: valid[1], noNaN: true })] as const;
  });
  return fc.record(Object.fromEntries(ranges));
}

test('the list holds the formulas of every subject', () => {
  expect(engineFormulas.length).toBeGreaterThan(35);
  expect(new Set(formulas.map(({ id }) => id)).size).toBe(formulas.length);
});

test('every formula has a value from outside', () => {
  const checked = new Set<unknown>(
    Object.values(outsideValues).flatMap((values) => values.map((v) => v.formula)),
  );
  expect(formulas.filter((formula) => !checked.has(formula)).map(({ id }) => id)).toEqual([]);
});

test('every outside value says what it is and where it stands', () => {
  const unnamed = Object.values(outsideValues)
    .flat()
    .filter(({ source }) => !/^(published|computed|from memory): .{5,}/.test(source));
  expect(unnamed).toEqual([]);
});

test('every source is used, and every source that is used exists', () => {
  const used = new Set<string>([
    ...formulas.flatMap((formula) => formula.sources),
    ...Object.values(grades).flatMap((grade): readonly SourceKey[] => Object.values(grade.sources)),
    protectorSource,
  ]);
  expect([...used].sort()).toEqual(Object.keys(sources).sort());
});

describe.each(Object.entries<Source>(sources))('the source %s', (key, source) => {
  const { author, where, kind } = source;

  test('is one place in one document, or says that there is none', () => {
    const hasDocument = kind === 'published' || author !== undefined;
    if (hasDocument)
      expect({ author, where }).toEqual({ author: expect.any(String), where: expect.any(String) });
    else expect(where).toBeUndefined();
    expect(JSON.stringify(source)).not.toMatch(/any textbook|chapter \d+: equations/);
  });

  test('is cited with how far to trust it, and with its note', () => {
    const line = citation(key as SourceKey);
    expect(line).toContain(source.title);
    expect(line.endsWith(`[${[kind, ...(source.note ? [source.note] : [])].join(': ')}]`)).toBe(true);
  });
});

test('what is ours is called a definition, and a document that was not read is not called published', () => {
  for (const { source } of [fuelMassPerCycle, fuelFlow]) expect(sources[source].kind).toBe('definition');
  expect(citation(injectorPulseWidth.source)).toMatch(/\[from memory: only its list of terms was read/);
  expect(citation(grades['avgas-100ll'].sources.density)).toMatch(/^Wikipedia: .*an encyclopaedia/);
});

test('only what polynomials by range define has a function instead of an expression', () => {
  const functions = formulas.filter(({ compute }) => compute).map(({ id }) => id);
  expect(functions.filter((id) => !id.startsWith('thermocouple-voltage-'))).toEqual([]);
});

const written = formulas.filter(({ compute }) => !compute).map((formula) => ({ id: formula.id, formula }));

test.each(written)(
  'the expression of $id uses each of its terms and constants, and no other',
  ({ formula }) => {
    const stated = statedSymbols(formula);
    expect(new Set(stated).size).toBe(stated.length);
    expect([...symbolsOf(formula)].sort()).toEqual(stated.sort());
  },
);

describe.each(named)('$id', ({ formula }) => {
  test('is named, defined and sourced', () => {
    expect(formula.id).toMatch(/^[a-z]+(-[a-z]+)*$/);
    expect(formula.title.length).toBeGreaterThan(3);
    expect(formula.sources[0]).toBe(formula.source);
    expect(formula.source in sources).toBe(true);
  });

  test('is read in units that exist', () => {
    for (const { unit, show } of [...Object.values(formula.terms), formula.result]) {
      if (show) expect(() => toUnit(1, show), show).not.toThrow();
      if (unit) expect(toUnit(1, unit), `${unit} is canonical`).toBe(1);
    }
  });

  test('gives a number wherever it is meant to hold', () => {
    fc.assert(
      fc.property(validInputs(formula), (inputs) => {
        expect(formula(inputs)).not.toBeNaN();
      }),
    );
  });
});
