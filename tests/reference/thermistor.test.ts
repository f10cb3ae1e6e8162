import { describe, expect, test } from 'vitest';
import { dividerResistance, dividerVoltage } from '../../shared/physics/divider.ts';
import {
  betaResistance,
  betaValue,
  fitThermistor,
  steinhartHartTemperature,
  thermistorResistance,
  thermistorTemperature,
} from '../../shared/physics/thermistor.ts';

const point = ([celsius, resistance]: readonly [number, number]) => ({
  temperature: celsius + 273.15,
  resistance,
});

/**
 * R/T table of a 10 kohm, B 3435 part, °C and ohm: gist.github.com/ti-nspire/28b50ebd1ce51045068a65674861f060
 */
const GENERIC_3435 = [
  [-50, 329500],
  [-40, 188500],
  [-30, 111300],
  [-20, 67770],
  [-10, 42470],
  [0, 27280],
  [10, 17960],
  [20, 12090],
  [25, 10000],
  [30, 8313],
  [40, 5827],
  [50, 4160],
  [60, 3020],
  [70, 2228],
  [80, 1668],
  [90, 1266],
  [100, 973.1],
  [110, 757.6],
] as const;

/** R/T table of a 10 kohm, B 3977 part: data sheet NTCLE100E3 (document 29049), from memory of that sheet. */
const GENERIC_3977 = [
  [-40, 332094],
  [-25, 129287],
  [-10, 55046],
  [0, 32554],
  [15, 15698],
  [25, 10000],
  [40, 5330],
  [60, 2490],
  [80, 1256],
  [100, 677.3],
  [125, 338.7],
] as const;

/** Oil temperature sensor of a car's service manual, printed to two or three digits: Kia Sedona 2018, OTS. */
const SERVICE_MANUAL = [
  [-40, 52150],
  [-20, 16520],
  [0, 6000],
  [20, 2450],
  [40, 1110],
  [60, 540],
  [80, 290],
  [100, 160],
  [120, 100],
] as const;

describe('three points give the Steinhart–Hart coefficients', () => {
  // Computed with numpy 1.24.2, linalg.solve, from the points of the table above.
  test.each([
    {
      points: [
        [-40, 188500],
        [25, 10000],
        [110, 757.6],
      ],
      a: 0.0008861985852791606,
      b: 0.0002514304917005838,
      c: 1.94616938827165e-7,
      residuals: { '-50': 0.071, '-20': -0.047, '0': -0.05, '50': 0.05, '80': 0.064, '100': 0.046 },
    },
    {
      points: [
        [0, 27280],
        [25, 10000],
        [70, 2228],
      ],
      a: 0.000884796428126495,
      b: 0.00025193317180019725,
      c: 1.904858378779141e-7,
      residuals: { '-50': 0.245, '-20': 0.049, '10': -0.006, '50': 0.009, '80': -0.015, '110': -0.107 },
    },
  ])('$points', ({ points, a, b, c, residuals }) => {
    const curve = fitThermistor((points as [number, number][]).map(point))!;
    expect(curve.method).toBe('steinhart-hart');
    for (const [computed, expected] of [
      [curve.a, a],
      [curve.b, b],
      [curve.c, c],
    ] as const) {
      expect(Math.abs(computed / expected - 1)).toBeLessThan(1e-9);
    }
    for (const { error } of curve.points) expect(Math.abs(error)).toBeLessThan(1e-9);
    for (const [celsius, residual] of Object.entries(residuals)) {
      const [, resistance] = GENERIC_3435.find(([at]) => at === Number(celsius))!;
      const error = thermistorTemperature(curve, resistance) - 273.15 - Number(celsius);
      expect(error).toBeCloseTo(residual, 2);
    }
  });
});

describe('a whole table fitted by least squares', () => {
  test.each([
    // Largest error of the three-constant form over the table's 160 K, in K (through three of the points it
    // is up to 0.25 K); the service manual's rounding alone (100 ohm may be 95 or 105) is worth a kelvin or
    // two.
    ['B 3435', GENERIC_3435, 0.15],
    ['B 3977', GENERIC_3977, 0.06],
    ['service manual', SERVICE_MANUAL, 2],
  ] as const)('%s reads every printed point', (_name, table, tolerance) => {
    const curve = fitThermistor(table.map(point))!;
    expect(curve.method).toBe('least-squares');
    expect(curve.falls).toBe(true);
    for (const { temperature, resistance, error } of curve.points) {
      expect(Math.abs(error)).toBeLessThan(tolerance);
      expect(Math.abs(thermistorTemperature(curve, resistance) - temperature)).toBeLessThan(tolerance);
      expect(thermistorResistance(curve, temperature + error)! / resistance).toBeCloseTo(1, 9);
    }
  });
});

test('the printed third-order coefficients of the B 3977 part give its printed table', () => {
  // Same data sheet: 1/T = A₁ + B₁·ln(R/R₂₅) + C₁·ln²(R/R₂₅) + D₁·ln³(R/R₂₅). Its fit and ours must agree.
  const curve = fitThermistor(GENERIC_3977.map(point))!;
  for (const resistance of [250000, 100000, 20000, 8000, 3000, 1000, 500]) {
    const x = Math.log(resistance / 10000);
    const printed = 1 / (0.003354016 + 0.000256985 * x + 2.620131e-6 * x ** 2 + 6.383091e-8 * x ** 3);
    expect(Math.abs(thermistorTemperature(curve, resistance) - printed)).toBeLessThan(0.06);
  }
});

describe('B-value', () => {
  // Computed from the definition with another program (Python's math); 25 °C is the reference.
  test.each([
    [3435, 10000, -40, 248276.5],
    [3435, 10000, 100, 987.0368],
    [3950, 10000, 0, 33620.6],
    [3380, 10000, 85, 1496.9],
    [3977, 10000, 50, 3563.132],
    [3500, 2200, 125, 115.3317],
  ])('%d K and %d ohm at 25 °C make at %d °C %d ohm', (beta, at25, celsius, resistance) => {
    const temperature = celsius + 273.15;
    const reference = { firstResistance: at25, firstTemperature: 298.15 };
    expect(betaResistance({ temperature, beta, ...reference }) / resistance).toBeCloseTo(1, 6);
    const secondPoint = { secondResistance: resistance, secondTemperature: temperature };
    expect(betaValue({ ...reference, ...secondPoint })).toBeCloseTo(beta, 2);
    const curve = fitThermistor([point([25, at25]), point([celsius, resistance])])!;
    expect(curve).toMatchObject({ method: 'beta', c: 0, falls: true });
    expect(1 / curve.b).toBeCloseTo(beta, 2);
    expect(steinhartHartTemperature({ resistance, a: curve.a, b: curve.b, c: 0 })).toBeCloseTo(
      temperature,
      6,
    );
  });

  test('B 25/85 of the first table is its nominal 3435 K within 0.02 %', () => {
    const [first, second] = [point([25, 10000]), point([85, 1451])];
    const beta = betaValue({
      firstResistance: first.resistance,
      firstTemperature: first.temperature,
      secondResistance: second.resistance,
      secondTemperature: second.temperature,
    });
    expect(beta).toBeCloseTo(3435.43, 1);
  });
});

describe('divider', () => {
  // Service manual data of a coolant sensor on 5 V through 1.0 kohm: the printed mid resistances and rounded
  // volts.
  test.each([
    [25000, 4.8],
    [9200, 4.5],
    [2500, 3.6],
    [1150, 2.7],
    [617.5, 1.9],
    [330, 1.2],
    [250, 1.0],
    [150, 0.65],
  ])('%d ohm under 1 kohm and 5 V is about %d V', (resistance, volts) => {
    const voltage = dividerVoltage({ resistance, pullUp: 1000, supply: 5 });
    expect(Math.abs(voltage - volts)).toBeLessThanOrEqual(0.05);
    expect(dividerResistance({ voltage, pullUp: 1000, supply: 5 })).toBeCloseTo(resistance, 6);
  });

  // Computed from the definition with another program.
  test.each([
    [187, 2490, 0.349272],
    [5896, 2490, 3.515383],
    [45313, 2490, 4.739556],
    [834, 2200, 1.374423],
  ])('%d ohm under %d ohm and 5 V is %d V', (resistance, pullUp, volts) => {
    expect(dividerVoltage({ resistance, pullUp, supply: 5 })).toBeCloseTo(volts, 6);
  });
});
