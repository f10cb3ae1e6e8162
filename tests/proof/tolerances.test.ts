import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Derivation } from '../../shared/derived/derivation.ts';
import { allOfPoint, fileValues } from '../../shared/derived/registry.ts';
import { effectsOn } from '../../shared/derived/sensitivity.ts';
import { apply, type DerivedValue, derivedValue, type Operand } from '../../shared/derived/value.ts';
import { formula } from '../../shared/physics/formula.ts';
import { uncertaintyOf } from '../../shared/proof/tolerances.ts';
import { readSource } from '../../shared/source/source-file.ts';
import type { Node } from '../../shared/source/tree.ts';
import { completeController, completeEngine } from '../support/command-line.ts';
import { analyseCase } from '../support/fixture.ts';

const derivationOf = (text: string) => {
  const { derivation, findings } = analyseCase(
    new Map([
      ['case.engine.yaml', text],
      ['complete.controller.yaml', completeController],
    ]),
  );
  expect(findings.filter(({ rule }) => rule === 'tolerance-invalid')).toEqual([]);
  return derivation!;
};

const replaced = (text: string, pairs: readonly (readonly [from: string, to: string])[]): string =>
  pairs.reduce((changed, [from, to]) => {
    expect(changed).toContain(from);
    return changed.replace(from, to);
  }, text);

const pointValue = (text: string, point: string, id: string): DerivedValue => {
  const derivation = derivationOf(text);
  const found = allValues(derivation).find((one) => one.id === id && one.at === `operating_points.${point}`);
  expect(found, id).toBeDefined();
  return found!;
};

const allValues = (derivation: Derivation): DerivedValue[] => [
  ...fileValues.flatMap((one) => derivation.get(one)),
  ...derivation.points.flatMap((point) => allOfPoint(point)),
];

/** What is written, its number, its unit, and half the width of the tolerance that it gets, in that unit. */
const WRITTEN = [
  ['bore: 84 mm', 'bore: ', 84, ' mm', 0.42, '0.5 %'],
  ['static_flow: 340 cc/min', 'static_flow: ', 340, ' cc/min', 10.2, '3 %'],
  ['battery_voltage: 13.8 V', 'battery_voltage: ', 13.8, ' V', 0.2, '0.2 V'],
] as const;

describe('a value with tolerances', () => {
  test('keeps its number, and says how far it may be off', () => {
    const exact = pointValue(completeEngine, 'cruise', 'injector_flow');
    const text = replaced(completeEngine, [['static_flow: 340 cc/min', 'static_flow: 340 cc/min ± 3 %']]);
    const value = pointValue(text, 'cruise', 'injector_flow');
    expect(value.canonical).toBe(exact.canonical);
    const { low, high, standard, shares } = uncertaintyOf(value)!;
    expect(low / value.canonical).toBeCloseTo(0.97, 5);
    expect(high / value.canonical).toBeCloseTo(1.03, 5);
    // A rectangular distribution: half the width divided by √3. GUM, 4.3.7.
    expect(standard / value.canonical).toBeCloseTo(0.03 / Math.sqrt(3), 9);
    expect(shares).toEqual([{ at: 'fuel.injectors.static_flow', share: 1 }]);
  });

  test('has none where no tolerance reaches it', () => {
    const text = replaced(completeEngine, [['static_flow: 340 cc/min', 'static_flow: 340 cc/min ± 3 %']]);
    expect(uncertaintyOf(pointValue(text, 'cruise', 'air_mass_per_cycle'))).toBeUndefined();
  });

  test('shares the variance among its numbers, the largest part first', () => {
    const text = replaced(completeEngine, [
      ['static_flow: 340 cc/min', 'static_flow: 340 cc/min ± 3 %'],
      ['bore: 84 mm', 'bore: 84 mm ± 0.5 %'],
    ]);
    const { standard, shares } = uncertaintyOf(pointValue(text, 'cruise', 'injector_duty'))!;
    expect(shares.map(({ at }) => at)).toEqual(['fuel.injectors.static_flow', 'engine.bore']);
    expect(shares[0]!.share + shares[1]!.share).toBeCloseTo(1, 12);
    // Both act on the same part of the duty: 1 % of flow changes it by 1 %, 1 % of bore by 2 %.
    expect(shares[0]!.share / shares[1]!.share).toBeCloseTo((3 / (2 * 0.5)) ** 2, 6);
    expect(standard).toBeGreaterThan(0);
  });

  test('of a table takes all its values as high or low together', () => {
    const text = replaced(completeEngine, [
      ['unit: "%"\n    values:', 'unit: "%"\n    tolerance: 4 %\n    values:'],
    ]);
    const value = pointValue(text, 'cruise', 'air_mass_per_cycle');
    const { low, high, shares } = uncertaintyOf(value)!;
    expect(low / value.canonical).toBeCloseTo(0.96, 4);
    expect(high / value.canonical).toBeCloseTo(1.04, 4);
    expect(shares).toEqual([{ at: 'fuel.volumetric_efficiency', share: 1 }]);
  });

  /** Every value of the file, with numbers anywhere in their tolerances, among them their ends. */
  test('is within its bounds wherever the numbers are, and reaches them', () => {
    const tolerant = replaced(
      completeEngine,
      WRITTEN.map(([from, key, number, unit, , text]) => [from, `${key}${number}${unit} ± ${text}`] as const),
    );
    const values = new Map(
      allValues(derivationOf(tolerant)).map((value) => [`${value.id} ${value.at}`, value]),
    );
    const reached = new Map<string, [low: number, high: number]>();
    const unbounded = new Set<string>();
    let compared = 0;
    const place = fc.double({ min: -1, max: 1, noNaN: true });
    const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((bits): [[number, number, number]] => [
      [bits & 1 ? 1 : -1, bits & 2 ? 1 : -1, bits & 4 ? 1 : -1],
    ]);
    fc.assert(
      fc.property(fc.tuple(place, place, place), (shifts) => {
        const moved = replaced(
          completeEngine,
          WRITTEN.map(
            ([from, key, number, unit, width], i) =>
              [from, `${key}${number + shifts[i]! * width}${unit}`] as const,
          ),
        );
        for (const value of allValues(derivationOf(moved))) {
          const key = `${value.id} ${value.at}`;
          const nominal = values.get(key)!;
          const slack = 1e-9 * Math.abs(value.canonical);
          const bounds = uncertaintyOf(nominal);
          if (!bounds) {
            if (Math.abs(value.canonical - nominal.canonical) > slack) unbounded.add(value.id);
            continue;
          }
          expect(value.canonical, key).toBeGreaterThanOrEqual(bounds.low - slack);
          expect(value.canonical, key).toBeLessThanOrEqual(bounds.high + slack);
          const [low, high] = reached.get(key) ?? [Infinity, -Infinity];
          reached.set(key, [Math.min(low, value.canonical), Math.max(high, value.canonical)]);
          compared++;
        }
      }),
      { numRuns: 50, examples: corners },
    );
    expect(compared).toBeGreaterThan(1000);
    expect([...unbounded]).toEqual([]);
    for (const [key, [low, high]] of reached) {
      const bounds = uncertaintyOf(values.get(key)!);
      if (!bounds) continue;
      const near = Math.max(1e-3 * Math.abs(bounds.high), 1e-2 * (bounds.high - bounds.low));
      expect(bounds.high - high, key).toBeLessThan(near);
      expect(low - bounds.low, key).toBeLessThan(near);
    }
  });
});

/** Estimates with their standard uncertainties, as numbers of a file with a rectangular tolerance of a/√3. */
function operandsOf<const Name extends string>(estimates: Readonly<Record<Name, readonly [number, number]>>) {
  const names = Object.keys(estimates) as Name[];
  const file = readSource('gum.yaml', names.map((name) => `${name}: ${estimates[name][0]}\n`).join(''));
  return Object.fromEntries(
    names.map((name) => {
      const [canonical, standard] = estimates[name];
      const tolerance = { share: 0, width: standard * Math.sqrt(3) };
      const quantity = { number: canonical, canonical, numberRange: [0, 1], tolerance } as const;
      return [name, { canonical, node: file.root.get(name)!, quantity }];
    }),
  ) as Record<Name, Operand & { readonly node: Node }>;
}

describe('the standard uncertainty', () => {
  /**
   * JCGM 100:2008 (GUM), H.1, calibration of an end gauge: estimates, standard uncertainties and result as printed
   * there; the numbers are from memory. A rectangular distribution of half-width a has the standard uncertainty a/√3.
   */
  test('of an end gauge is that of GUM H.1', () => {
    const endGauge = formula({
      id: 'end-gauge',
      title: 'Length of an end gauge',
      expression: 'l_s + d − l_s · (Δα · θ + α_s · Δθ)',
      terms: {
        standard: { symbol: 'l_s', label: 'length of the standard', unit: 'm' },
        difference: { symbol: 'd', label: 'measured difference', unit: 'm' },
        expansionDifference: { symbol: 'Δα', label: 'difference of expansion', unit: '' },
        deviation: { symbol: 'θ', label: 'deviation of temperature', unit: 'K' },
        expansion: { symbol: 'α_s', label: 'expansion of the standard', unit: '' },
        temperatureDifference: { symbol: 'Δθ', label: 'difference of temperature', unit: 'K' },
      },
      result: { symbol: 'l', label: 'length', unit: 'm' },
      source: 'definition',
    });
    const estimates = {
      standard: [50.000623e-3, 25e-9],
      difference: [215e-9, 9.7e-9],
      expansionDifference: [0, 0.58e-6],
      deviation: [-0.1, 0.41],
      expansion: [11.5e-6, 1.2e-6],
      temperatureDifference: [0, 0.029],
    } as const;
    const operands = operandsOf(estimates);
    const result = apply(endGauge, operands)!;
    const { standard, shares } = uncertaintyOf(
      derivedValue({ id: 'length', label: 'Length' }, result, operands.standard.node),
    )!;
    // The combined standard uncertainty is 32 nm.
    expect(standard * 1e9).toBeCloseTo(32, 0);
    // Contributions: 25 nm of the standard, 9.7 nm of the difference, 2.9 nm and 16.6 nm of the temperatures.
    const part = (name: string) => Math.sqrt(shares.find(({ at }) => at === name)!.share) * standard * 1e9;
    expect(part('standard')).toBeCloseTo(25, 1);
    expect(part('difference')).toBeCloseTo(9.7, 1);
    expect(part('expansionDifference')).toBeCloseTo(2.9, 1);
    expect(part('temperatureDifference')).toBeCloseTo(16.7, 0);
    expect(shares).toHaveLength(4);
  });

  /**
   * JCGM 100:2008 (GUM), H.2, resistance, reactance and impedance measured together: means, standard uncertainties,
   * correlations and results as printed there; the numbers are from memory. The product takes the numbers of a file as
   * independent; the derivatives that it uses give the published result with the published correlations. Our formulas
   * have no cosine, so the cosine and sine of the phase angle are operands with u(cos φ) = |sin φ| · u(φ).
   */
  test.each([
    ['R', 'V / I · f', 127.732, 0.071],
    ['X', 'V / I · f', 219.847, 0.295],
    ['Z', 'V / I', 254.26, 0.236],
  ] as const)(
    'of %s of GUM H.2 follows from the same derivatives',
    (name, expression, published, uncertainty) => {
      const [phase, phaseUncertainty] = [1.04446, 0.00075];
      const factor = name === 'R' ? Math.cos(phase) : Math.sin(phase);
      const slope = name === 'R' ? -Math.sin(phase) : Math.cos(phase);
      const { voltage, current, phaseFactor } = operandsOf({
        voltage: [4.999, 0.0032],
        current: [19.661e-3, 0.0095e-3],
        phaseFactor: [factor, Math.abs(slope) * phaseUncertainty],
      });
      const terms = {
        voltage: { symbol: 'V', label: 'voltage', unit: 'V' },
        current: { symbol: 'I', label: 'current', unit: 'A' },
      } as const;
      const header = { id: 'h2', title: 'GUM H.2', expression, source: 'definition' } as const;
      const result = { symbol: name, label: name, unit: 'ohm' } as const;
      const found =
        name === 'Z'
          ? apply(formula({ ...header, terms, result }), { voltage, current })!
          : apply(
              formula({
                ...header,
                terms: { ...terms, phaseFactor: { symbol: 'f', label: 'factor', unit: '' } },
                result,
              }),
              { voltage, current, phaseFactor },
            )!;
      expect(found.canonical).toBeCloseTo(published, 2);
      const effects = effectsOn(derivedValue({ id: name, label: name }, found, voltage.node));
      const partOf = ({ node }: { node: Node }) =>
        (effects.find((one) => one.node === node)?.ofTolerance ?? 0) / Math.sqrt(3);
      const [v, i, f] = [partOf(voltage), partOf(current), partOf(phaseFactor) * Math.sign(slope)] as const;
      const variance = v * v + i * i + f * f + 2 * (-0.36 * v * i + 0.86 * v * f - 0.65 * i * f);
      // The parts of R nearly cancel, and the correlations are printed with two digits.
      expect(Math.abs(Math.sqrt(variance) - uncertainty)).toBeLessThan(0.02 * uncertainty);
    },
  );
});
