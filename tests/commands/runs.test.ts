import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { TRUE_FILLING, TRUE_GAIN } from '../../samples/runs/dotterel.ts';
import {
  csvOf,
  engineOf,
  type SyntheticOptions,
  type SyntheticRow,
  syntheticRows,
} from '../../samples/runs/synthetic.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';

const DOTTEREL = `${SAMPLES}dotterel/dotterel-16t.engine.yaml`;
const TEXT = readFileSync(DOTTEREL, 'utf8');
const CONTROLLER = readFileSync(`${SAMPLES}dotterel/four-channel.controller.yaml`, 'utf8');
const ENGINE = engineOf(TEXT, 'tow');
const ROOM = { altitude: 144.2, deviation: 9.936 };

const RUN = `runfile: 1
engine: ./dotterel-16t.engine.yaml
data: ./data.csv
kind: brake
room: { pressure: 99.6 kPa abs, temperature: 24 °C, humidity: 45 % }
map_set: tow
exhaust_delay: 0 s
`;

/** A folder with the engine file, and a run with these data. */
const folderWith = (data: string | Uint8Array, run = RUN, engine = TEXT): string =>
  folderOf({
    'dotterel-16t.engine.yaml': engine,
    'four-channel.controller.yaml': CONTROLLER,
    'data.csv': data,
    'test.run.yaml': run,
  });

// biome-ignore lint/suspicious/noExplicitAny: the JSON of the command, whose keys these tests check.
type Json = any;

async function runsOf(folder: string, ...args: string[]): Promise<Json> {
  const { status, out, err } = await enginewright(
    'runs',
    `${folder}/test.run.yaml`,
    ...args,
    '--format',
    'json',
  );
  expect(err).toBe('');
  expect(status).toBe(0);
  return JSON.parse(out);
}

const runOf = async (data: string, run?: string, engine?: string): Promise<Json> =>
  (await runsOf(folderWith(data, run, engine))).runs[0];

/** A limit (ms) for a thousand cells or bins on a loaded machine. */
const LONG = 600_000;

/** All cells of the map between 4000 and 5400 rpm and 100 and 145 kPa, each held for five seconds. */
const STATES = [4000, 4400, 4800, 5000, 5200, 5400].flatMap((speed) =>
  [100e3, 115e3, 130e3, 145e3].map((pressure) => ({ speed, throttle: 1, pressure, time: 5 })),
);

const synthetic = (options: Partial<SyntheticOptions>): string =>
  csvOf(syntheticRows(ENGINE, { states: STATES, ...ROOM, ...options }));

describe('a run that is exactly the text', () => {
  test('departs in nothing', async () => {
    const states = [4000, 4800, 5400].map((speed) => ({ speed, throttle: 1, time: 5 }));
    const { rows, refused, steady, agreement, filling, limits, outside_envelope } = await runOf(
      csvOf(syntheticRows(ENGINE, { states, ...ROOM })),
    );
    expect([rows, refused]).toEqual([150, []]);
    expect(steady).toEqual([
      { from: 0, to: 4.9, rows: 50 },
      { from: 5, to: 9.9, rows: 50 },
      { from: 10, to: 14.9, rows: 50 },
    ]);
    expect(agreement.map(({ quantity }: Json) => quantity)).toEqual([
      'manifold_pressure',
      'charge_temperature',
      'ignition_advance',
      'injector_pulse_width',
      'injector_duty',
      'fuel_flow',
      'brake_power',
    ]);
    for (const { quantity, mean_residual, ci95, departs, n } of agreement) {
      expect(departs, quantity).toBe(false);
      expect(n).toBe(150);
      expect(ci95[0], quantity).toBeLessThanOrEqual(mean_residual);
      expect(ci95[0] * ci95[1], `${quantity}: the interval contains zero`).toBeLessThanOrEqual(0);
    }
    expect(filling.filter(({ believed }: Json) => believed)).toEqual([]);
    for (const { now, measured, rows } of filling)
      if (rows >= 50 && now > 0.85) expect(Math.abs(measured / now - 1)).toBeLessThan(0.004);
    expect(limits.filter(({ lit }: Json) => lit.length > 0)).toEqual([]);
    expect(outside_envelope).toEqual([]);
  });
});

describe('the measured volumetric efficiency', () => {
  const error = (row: number, column: number) => 1.03 + 0.02 * Math.sin(row + column / 2);

  test('is that of the engine, within its uncertainty, where it is believed', async () => {
    const { filling } = await runOf(synthetic({ noise: 0.01, filling: error }));
    const believed = filling.filter((cell: Json) => cell.believed);
    expect(believed.length).toBeGreaterThan(18);
    for (const { row, column, now, measured, standard_uncertainty, rows, map_set } of believed) {
      const truth = now * error(row, column);
      expect(Math.abs(measured / truth - 1)).toBeLessThan(0.006);
      expect(Math.abs(measured - truth)).toBeLessThan(4 * standard_uncertainty);
      expect(rows).toBeGreaterThanOrEqual(20);
      expect(map_set).toBe('tow');
    }
  });

  test('does not follow one row that alone fixes a cell', async () => {
    const rows = syntheticRows(ENGINE, { states: STATES.slice(0, 4), ...ROOM, noise: 0.002 });
    // One second at another speed, in which all rows but one lack lambda.
    const alone = syntheticRows(ENGINE, {
      states: [{ speed: 3600, throttle: 1, pressure: 130e3, time: 1.5 }],
      ...ROOM,
    });
    const start = rows.at(-1)!.time! + 0.1;
    const data = [
      ...rows,
      ...alone.map((row, i) => ({ ...row, time: row.time! + start, lambda: i === 5 ? 1.2 : Number.NaN })),
    ];
    const { filling } = await runOf(csvOf(data));
    const cell = filling.find(({ row, column }: Json) => row === 8 && column === 7);
    expect(cell.leverage).toBeGreaterThan(0.99);
    expect(cell.believed).toBe(false);
  });

  test('is paired with the lambda that its cylinder events cause', async () => {
    const data = synthetic({ noise: 0.002, filling: error, delay: 0.5 });
    const late = await runOf(data, RUN.replace('exhaust_delay: 0 s', 'exhaust_delay: 0.5 s'));
    const cells = (run: Json) => run.filling.filter(({ believed }: Json) => believed);
    const off = ({ row, column, now, measured }: Json) => Math.abs(measured / (now * error(row, column)) - 1);
    expect(cells(late).length).toBeGreaterThan(20);
    expect(Math.max(...cells(late).map(off))).toBeLessThan(0.003);
  });

  test.each([
    ['four-stroke', 720, '0.1 s', '0.08 s'],
    ['two-stroke', 360, '0.08 s', '0.1 s'],
  ])(
    'is paired by one cycle of a %s engine and the lag of the sensor',
    async (cycle, degrees, delay, other) => {
      const engine = TEXT.replace('cycle: four-stroke', `cycle: ${cycle}`);
      const rows = syntheticRows(engineOf(engine, 'tow'), {
        states: [100e3, 115e3].map((pressure) => ({ speed: 3000, throttle: 1, pressure, time: 3 })),
        ...{ ...ROOM, noise: 0.01, rate: 100 },
      }).map((row) => ({ ...row, engine_speed: 3000 }));
      const data = csvOf(rows);
      const [estimated, stated, wrong] = [
        await runOf(data, RUN.replace('exhaust_delay: 0 s\n', ''), engine),
        await runOf(data, RUN.replace('exhaust_delay: 0 s', `exhaust_delay: ${delay}`), engine),
        await runOf(data, RUN.replace('exhaust_delay: 0 s', `exhaust_delay: ${other}`), engine),
      ];
      expect(estimated.filling.length).toBeGreaterThan(0);
      expect(estimated.filling).toEqual(stated.filling);
      expect(estimated.filling).not.toEqual(wrong.filling);
      expect(estimated.notes.join()).toContain(`one cycle (${degrees} degrees of crank angle) and 60 ms`);
    },
  );

  /** Half the width of a uniform distribution over its standard deviation (JCGM 100:2008, 4.3.7). */
  const UNIFORM = Math.sqrt(3);
  const ofInstruments = ({ instrument_uncertainty, measured }: Json): number =>
    instrument_uncertainty / measured;

  test('is as uncertain by its instruments as these are at each cell', async () => {
    const run = `${RUN}accuracy: { manifold_pressure: ± 2 kPa }\n`;
    const { filling } = await runOf(synthetic({ filling: error }), run);
    // Rows of the map at 100 and 145 kPa.
    const { y } = ENGINE.configuration.fuel!.volumetric_efficiency!;
    for (const pressure of [100e3, 145e3]) {
      const row = y!.breakpoints.indexOf(pressure);
      const cells = filling.filter((cell: Json) => cell.row === row && cell.rows >= 50);
      expect(cells.length, String(pressure)).toBeGreaterThan(0);
      for (const cell of cells) {
        // The digits of the log are a hundred times finer.
        expect(ofInstruments(cell) / (2e3 / pressure / UNIFORM), String(pressure)).toBeCloseTo(1, 2);
      }
    }
  });

  test.each([
    ['with', 'injector_pulse_width'],
    ['without', 'nothing'],
  ])('is as uncertain as the flow of the injectors, %s a logged pulse width', async (_, kept) => {
    const rows = syntheticRows(ENGINE, { states: STATES, ...ROOM, filling: error }).map((row) =>
      Object.fromEntries(
        Object.entries(row).filter(([name]) => name === kept || name !== 'injector_pulse_width'),
      ),
    ) as SyntheticRow[];
    const engine = TEXT.replace('static_flow: 350 cc/min', 'static_flow: 350 cc/min ± 3 %');
    expect(engine).not.toBe(TEXT);
    const { filling } = await runOf(csvOf(rows), RUN, engine);
    const cells = filling.filter((cell: Json) => cell.rows >= 50);
    expect(cells.length).toBeGreaterThan(10);
    for (const cell of cells) expect(ofInstruments(cell) / (0.03 / UNIFORM)).toBeCloseTo(1, 2);
  });

  test(
    'has 95 % intervals that hold the truth in 93 to 97 % of a thousand cells',
    async () => {
      let [held, cells] = [0, 0];
      for (let seed = 1; cells < 1000; seed++) {
        const { filling } = await runOf(synthetic({ noise: 0.01, filling: error, seed }));
        for (const { row, column, now, measured, standard_uncertainty, effective_rows } of filling) {
          if (effective_rows < 20) continue;
          cells++;
          if (Math.abs(measured - now * error(row, column)) <= 1.96 * standard_uncertainty) held++;
        }
      }
      expect(held / cells).toBeGreaterThan(0.93);
      expect(held / cells).toBeLessThan(0.97);
    },
    LONG,
  );
});

describe('limits', () => {
  const logged = (values: readonly number[]) =>
    `time,coolant_temperature,caution_light\ns,°C,\n${values.map((value, i) => `${i},${value},0`).join('\n')}\n`;
  const hot = (run: Json, level: string) =>
    run.limits.find(({ at }: Json) => at === `protection.coolant_hot.above.${level}`);
  // above: { caution: 105 °C, warning: 115 °C }
  const section = /coolant_hot:\n(?: {4}.*\n)+/.exec(TEXT)?.[0] ?? '';
  const engine = TEXT.replace(
    section,
    `coolant_hot:
    watches: coolant_temperature
    above: { caution: 105 °C, warning: 115 °C }
    hysteresis: 3 K
    delay: 2 s
    action: [light]
`,
  );

  test('act after their delay and clear below their hysteresis', async () => {
    expect(section).not.toBe('');
    const run = await runOf(logged([100, 106, 106, 106, 106, 104, 103, 102, 101, 100]), undefined, engine);
    expect(hot(run, 'caution')).toMatchObject({
      closest: 379.15,
      row: 1,
      lit: [[3, 7]],
      level: 378.15,
      unit: 'K',
    });
    expect(hot(run, 'warning')).toMatchObject({ closest: 379.15, lit: [] });
    expect(run.lights).toEqual([{ light: 'caution', logged: false, from: 3, to: 7 }]);
  });

  test('do not act during a short excursion, which still is the closest', async () => {
    const run = await runOf(logged([100, 106, 100, 106, 106, 100]), undefined, engine);
    expect(hot(run, 'caution')).toMatchObject({ closest: 379.15, row: 1, lit: [] });
    expect(run.lights).toEqual([]);
  });

  test('whose quantity is not logged say so', async () => {
    const run = await runOf(logged([100, 100]));
    const oil = run.limits.find(({ at }: Json) => at.startsWith('protection.oil_hot'));
    expect(oil).toMatchObject({ closest: null, row: null, lit: [], logged: false });
  });
});

test('rows outside the envelope are named, the one farthest outside for each stretch', async () => {
  const rows = syntheticRows(ENGINE, { states: [{ speed: 5000, throttle: 1, time: 2 }], ...ROOM });
  const data = rows.map((row, i) => ({
    ...row,
    engine_speed: i === 7 ? 5950 : i === 8 ? 5900 : row.engine_speed!,
  }));
  const { outside_envelope } = await runOf(csvOf(data));
  // The boost target falls towards higher speeds, so the pressure of those rows is outside as well.
  expect(outside_envelope).toMatchObject([
    { row: 7, quantity: 'engine_speed', value: 5950, unit: 'rpm', limit: 5800, rows: 2 },
    { row: 7, quantity: 'manifold_pressure', rows: 2 },
  ]);
});

describe('power', () => {
  const SPEEDS = [4400, 5000, 5400];
  const pull = (options: Partial<SyntheticOptions>, speeds: readonly number[] = SPEEDS) =>
    csvOf(
      syntheticRows(ENGINE, {
        states: speeds.map((speed) => ({ speed, throttle: 1, time: 10 })),
        ...ROOM,
        noise: 0.01,
        ...options,
      }),
    );

  test('of a controlled turbocharged engine is not corrected, and the standard is named', async () => {
    const { power, notes } = await runOf(pull({}));
    expect(power).toHaveLength(3);
    for (const { brake_power, corrected_power, standard, factor, ci95, n } of power) {
      expect([standard, factor, n]).toEqual(['UN R85', 1, 100]);
      expect(corrected_power).toBe(brake_power);
      expect(ci95[0]).toBeLessThan(brake_power);
    }
    expect(notes.join()).toContain('UN Regulation No. 85');
  });

  test('of an aspirated engine is corrected with SAE J1349', async () => {
    // 97.7 kPa, 29.44 °C, 85 %: factor 1.069262 of SAE J1349 (computed in Python with the psychrolib vapour pressure).
    const data = 'time,engine_speed,throttle_position,manifold_pressure,torque\ns,rpm,%,kPa abs,Nm\n';
    const rows = Array.from({ length: 30 }, (_, i) => `${i / 10},3000,100,90,${100 + (i % 2)}`).join('\n');
    const engine = readFileSync(`${SAMPLES}wheatear/wheatear-10.engine.yaml`, 'utf8');
    const run = RUN.replace('map_set: tow\n', '').replace(
      /room: .*/,
      'room: { pressure: 97.7 kPa abs, temperature: 29.44 °C, humidity: 85 % }',
    );
    const { power } = await runOf(`${data}${rows}\n`, run, engine);
    expect(power[0]).toMatchObject({ standard: 'SAE J1349', n: 30 });
    expect(power[0].factor).toBeCloseTo(1.069262, 4);
    // 100.5 Nm at 3000 rpm.
    expect(power[0].brake_power).toBeCloseTo(100.5 * 100 * Math.PI, 6);
    expect(power[0].corrected_power / power[0].brake_power).toBeCloseTo(1.069262, 4);
  });

  test('at the propeller shaft is that of the crankshaft, by the reduction ratio and the gear efficiency', async () => {
    const shaft = RUN.replace('map_set', 'brake: { at: propeller_shaft, gear_efficiency: 97 % }\nmap_set');
    const crank = await runOf(pull({ noise: 0 }));
    const geared = await runOf(pull({ noise: 0 }), shaft);
    expect(geared.power[0].torque / crank.power[0].torque).toBeCloseTo(1 / (2.35 * 0.97), 6);
  });

  test('measured as power at the propeller shaft needs no reduction ratio, but torque does', async () => {
    const rows = syntheticRows(ENGINE, {
      states: SPEEDS.map((speed) => ({ speed, throttle: 1, time: 5 })),
      ...ROOM,
    });
    const watts = (row: SyntheticRow) => (row.torque! * 2 * Math.PI * row.engine_speed!) / 60;
    const asPower = csvOf(
      rows.map(({ torque, ...row }) => ({
        ...row,
        brake_power: 0.97 * watts({ ...row, torque: torque! }),
      })) as SyntheticRow[],
      { brake_power: ['kW', 6, (x) => x / 1000] },
    );
    const shaft = RUN.replace('map_set', 'brake: { at: propeller_shaft, gear_efficiency: 97 % }\nmap_set');
    // No ratio is stated, nor a propeller on the crankshaft.
    const noRatio = TEXT.replace(/^gearbox: .*\n/m, '').replace(/^propeller:\n(?: +.*\n)+/m, '');
    expect(noRatio).not.toMatch(/^(gearbox|propeller):/m);

    const known = await runOf(asPower, shaft);
    const unknown = await runOf(asPower, shaft, noRatio);
    for (const [i, speed] of SPEEDS.entries()) {
      const row = rows.find(({ engine_speed }) => engine_speed === speed)!;
      expect(known.power[i].brake_power / watts(row)).toBeCloseTo(1, 6);
      expect(known.power[i].torque / row.torque!).toBeCloseTo(1, 6);
      expect(unknown.power[i].brake_power / watts(row)).toBeCloseTo(1, 6);
      expect(unknown.power[i]).toMatchObject({ torque: null, mean_effective_pressure: null });
    }
    expect(unknown.notes.join()).toContain('no reduction ratio, so there is no torque.');

    const torqueOnly = await runOf(csvOf(rows), shaft, noRatio);
    expect(torqueOnly.power).toEqual([]);
    expect(torqueOnly.notes.join()).toContain('no reduction ratio, so there is no torque, and no power.');
  });

  test(
    'has intervals that hold the truth, and so has a difference, in 93 to 97 % of a thousand bins',
    async () => {
      let [held, heldDifference, bins] = [0, 0, 0];
      for (let seed = 1; bins < 1000; seed++) {
        const folder = folderOf({
          'dotterel-16t.engine.yaml': TEXT,
          'four-channel.controller.yaml': CONTROLLER,
          'data.csv': pull({ seed, power: 1.01 }, MANY),
          'old.csv': pull({ seed: seed + 5000 }, MANY),
          'test.run.yaml': RUN,
          'old.run.yaml': RUN.replace('data.csv', 'old.csv'),
        });
        const { runs, difference } = await runsOf(folder, '--against', `${folder}/old.run.yaml`);
        for (const [i, { speed, ci95 }] of runs[0].power.entries()) {
          // Torque is measured with noise, so power is that at the nominal speed.
          const nominal = Math.round(speed / 100) * 100;
          const exact = EXACT.get(nominal)!;
          bins++;
          if (ci95[0] <= 1.01 * exact && 1.01 * exact <= ci95[1]) held++;
          const [low, high] = difference[i].brake_power.ci95;
          if (low <= 0.01 * exact && 0.01 * exact <= high) heldDifference++;
        }
      }
      for (const share of [held / bins, heldDifference / bins]) {
        expect(share).toBeGreaterThan(0.93);
        expect(share).toBeLessThan(0.97);
      }
    },
    LONG,
  );

  /** The power of the text at full throttle. */
  const MANY = Array.from({ length: 20 }, (_, i) => 3600 + 100 * i);
  const EXACT = new Map(
    MANY.map((speed) => {
      const [row] = syntheticRows(ENGINE, { states: [{ speed, throttle: 1, time: 0.1 }], ...ROOM });
      return [speed, (row!.torque! * 2 * Math.PI * speed) / 60];
    }),
  );
});

describe('the sample', () => {
  const [before, after] = ['before', 'after'].map((name) => `${SAMPLES}dotterel/${name}-injectors.run.yaml`);

  test('finds the errors with which it was made', async () => {
    const { out } = await enginewright('runs', after!, '--against', before!, '--format', 'json');
    const { runs, difference, verdict } = JSON.parse(out) as Json;
    for (const { row, column, now, measured, believed, standard_uncertainty } of runs[0].filling)
      if (believed) {
        expect(Math.abs(measured - now * TRUE_FILLING(row, column))).toBeLessThan(3 * standard_uncertainty);
        expect(Math.abs(measured / (now * TRUE_FILLING(row, column)) - 1)).toBeLessThan(0.006);
      }
    for (const [i, { brake_power }] of difference.entries()) {
      const gain = brake_power.mean / runs[0].power[i].brake_power;
      expect(gain).toBeCloseTo(1 - 1 / TRUE_GAIN, 2);
      expect(brake_power.ci95[0]).toBeGreaterThan(0);
    }
    expect(verdict).toBe(
      'Brake power is beyond chance higher in 7 of 7 bins; specific consumption is beyond chance lower in 7 of 7 bins (95 % intervals).',
    );
  });

  test('against itself did not change', async () => {
    const { out } = await enginewright('runs', after!, '--against', after!, '--format', 'json');
    expect((JSON.parse(out) as Json).verdict).toContain('did not change beyond chance in any of 7 bins');
  });

  test.each(['text', 'markdown'])('as %s says the same', async (format) => {
    const { out, status } = await enginewright('runs', after!, '--against', before!, '--format', format);
    expect(status).toBe(0);
    const plain = out.replaceAll('\\', '').replace(/\s+/g, ' ');
    for (const part of [
      '780 rows',
      'brake power',
      'UN Regulation No. 85',
      'higher in 7 of 7 bins',
      'boost.overboost_cut',
    ])
      expect(plain.toLowerCase()).toContain(part.toLowerCase());
  });
});
