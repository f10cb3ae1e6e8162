import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { enginewright, folderOf } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';

const ENGINE = readFileSync(`${SAMPLES}wheatear/wheatear-10.engine.yaml`, 'utf8');
const RUN = `runfile: 1
engine: ./wheatear-10.engine.yaml
data: ./data.csv
kind: flight
`;

// biome-ignore lint/suspicious/noExplicitAny: the JSON of the command, whose keys these tests check.
type Json = any;

/** What the command says about data, and about a run file that names them. */
async function outcomeOf(data: string | Uint8Array, run = RUN) {
  const folder = folderOf({ 'wheatear-10.engine.yaml': ENGINE, 'data.csv': data, 'x.run.yaml': run });
  const { status, out, err } = await enginewright('runs', `${folder}/x.run.yaml`, '--format', 'json');
  return {
    status,
    err: err.replaceAll(`${folder}/`, ''),
    run: status === 0 ? (JSON.parse(out) as Json).runs[0] : undefined,
  };
}

/** Data with a column of speeds. */
const speeds = (...lines: string[]): string => ['time,engine_speed', 's,rpm', ...lines, ''].join('\n');

describe('each line of the data is used or refused by its number', () => {
  test.each<[what: string, data: string | Uint8Array, rows: number, refused: Record<number, string>]>([
    ['plain lines', speeds('0,3000', '1,3000'), 2, {}],
    ['no line end at the end', speeds('0,3000', '1,3000').trimEnd(), 2, {}],
    ['a byte order mark and CRLF', `\ufeff${speeds('0,3000', '1,3000').replaceAll('\n', '\r\n')}`, 2, {}],
    ['empty lines', speeds('0,3000', '', '1,3000', '', ''), 2, {}],
    ['empty fields', speeds('0,', '1,3000'), 2, {}],
    ['quoted numbers', speeds('"0","3000"', '1,"3000"'), 2, {}],
    ['a quoted separator', 'time,engine_speed,"note, long"\ns,rpm,\n0,3000,"a, b"\n1,3000,\n', 2, {}],
    [
      'a quoted line end',
      'time,engine_speed,note\ns,rpm,\n0,3000,"a\nb"\n1,x,\n',
      1,
      { 5: '`x` in column `engine_speed` is not a number' },
    ],
    ['doubled quotation marks', 'time,engine_speed,note\ns,rpm,\n0,3000,"a ""b"""\n', 1, {}],
    ['blanks around numbers', speeds(' 0 , 3000 ', '1,\t3000'), 2, {}],
    ['exponents and signs', speeds('0,3.0e3', '+1,3E+03', '2,-0'), 3, {}],
    [
      'a word',
      speeds('0,3000', '1,fast', '2,3000'),
      2,
      { 4: '`fast` in column `engine_speed` is not a number' },
    ],
    [
      'NaN and infinity',
      speeds('0,NaN', '1,inf', '2,3000'),
      1,
      {
        3: '`NaN` in column `engine_speed` is not a number',
        4: '`inf` in column `engine_speed` is not a number',
      },
    ],
    [
      'a number beyond doubles',
      speeds('0,1e999', '1,3000'),
      1,
      { 3: '`1e999` in column `engine_speed` is not a number' },
    ],
    ['hexadecimal', speeds('0,0x10', '1,3000'), 1, { 3: '`0x10` in column `engine_speed` is not a number' }],
    ['two points', speeds('0,1.2.3'), 0, { 3: '`1.2.3` in column `engine_speed` is not a number' }],
    ['too few fields', speeds('0', '1,3000'), 1, { 3: 'it has 1 fields and the first line 2' }],
    ['too many fields', speeds('0,3000,1', '1,3000'), 1, { 3: 'it has 3 fields and the first line 2' }],
    [
      'a decimal comma between commas',
      speeds('0,3000,5', '1,3000'),
      1,
      { 3: 'it has 3 fields and the first line 2' },
    ],
    [
      'an unclosed quotation mark',
      speeds('0,3000', '1,"3000', '2,3000', '3,3000'),
      3,
      { 4: 'a quotation mark is not closed' },
    ],
    ['text after a quotation mark', speeds('0,"3000"0', '1,3000'), 1, { 3: 'a quotation mark is misplaced' }],
    ['no time', speeds(',3000', '1,3000'), 1, { 3: 'it has no time' }],
    [
      'a time that runs back',
      speeds('0,3000', '2,3000', '1,3000', '3,3000'),
      3,
      { 5: 'its time runs back, from 2 s to 1 s' },
    ],
    [
      'a log that starts again',
      speeds('5,3000', '6,3000', '0,3000', '1,3000'),
      3,
      { 5: 'its time runs back, from 6 s to 0 s' },
    ],
    [
      'a repeated row',
      speeds('0,3000', '0,3000', '1,3000'),
      2,
      { 4: 'it repeats the time of the row before, 0 s' },
    ],
    ['semicolons and decimal commas', 'time;engine_speed\ns;rpm\n0,5;3000,25\n1;3000\n', 2, {}],
    ['tabs', 'time\tengine_speed\ns\trpm\n0\t3000\n1\t3000\n', 2, {}],
    [
      'a line of a megabyte',
      speeds('0,3000', `1,${'3'.repeat(1_100_000)}`, '2,3000'),
      2,
      { 4: 'it is too long' },
    ],
    [
      'bytes that are no UTF-8',
      Buffer.concat([
        Buffer.from(speeds('0,3000')),
        Buffer.from([0xff, 0xfe, 0x0a]),
        Buffer.from('1,3000\n'),
      ]),
      2,
      { 4: 'it has 1 fields and the first line 2' },
    ],
    ['no rows at all', speeds(), 0, {}],
  ])('%s', async (_what, data, rows, refused) => {
    const { run } = await outcomeOf(data);
    const lines = Object.fromEntries(run.refused.map(({ line, reason }: Json) => [line, reason]));
    expect([run.rows, lines]).toEqual([rows, refused]);
    expect(run.refused_count).toBe(Object.keys(refused).length);
  });

  test('a gap is told', async () => {
    const { run } = await outcomeOf(speeds('0,3000', '1,3000', '2,3000', '60,3000', '61,3000'));
    expect(run.gaps).toEqual([{ from: 2, to: 60 }]);
  });
});

describe('columns', () => {
  const columnsOf = async (names: string, units: string, run = RUN) => {
    const { run: found } = await outcomeOf(`${names}\n${units}\n`, run);
    return [
      found.columns.map(({ quantity }: Json) => quantity),
      found.notes.filter((note: string) => note.startsWith('Column')),
    ];
  };

  test('hold the quantities of their names, with units in brackets or without', async () => {
    expect(
      await columnsOf('time,engine_speed,lambda,exhaust_gas_temperature[2],mood', '[s],(rpm),-,°C,'),
    ).toEqual([['time', 'engine_speed', 'lambda', 'exhaust_gas_temperature[2]', null], []]);
  });

  test('of other names hold what the run file says', async () => {
    const run = `${RUN}columns: { engine_speed: n_mot, torque: "M [Nm]" }\n`;
    expect(await columnsOf('time,n_mot,M [Nm]', 's,rpm,Nm', run)).toEqual([
      ['time', 'engine_speed', 'torque'],
      [],
    ]);
  });

  test('with a unit that does not fit are left out, and that is told', async () => {
    expect(await columnsOf('time,engine_speed,manifold_pressure', 's,kPa,kPa')).toEqual([
      ['time', null, null],
      [
        'Column `engine_speed` is left out: it has the unit `kPa`, which does not fit engine_speed.',
        'Column `manifold_pressure` is left out: it has the unit `kPa`, which does not fit manifold_pressure; a pressure states its reference, such as `kPa abs`.',
      ],
    ]);
  });

  test('twice are used once', async () => {
    expect(await columnsOf('time,lambda,lambda', 's,,')).toEqual([
      ['time', 'lambda', null],
      ['Column `lambda` is left out: `lambda` already holds lambda.'],
    ]);
  });
});

describe('a run that cannot be read is a located error', () => {
  test.each<[what: string, data: string, run: string, message: string]>([
    [
      'no second line',
      'time,engine_speed\n',
      RUN,
      'x.run.yaml: The data need a first line with names and a second line with units.',
    ],
    ['nothing', '', RUN, 'x.run.yaml: The data need a first line with names and a second line with units.'],
    [
      'no units',
      'time,engine_speed\n0\n',
      RUN,
      'x.run.yaml: The second line of the data, which gives units, has 1 fields, and the first line 2.',
    ],
    [
      'no time',
      'engine_speed,lambda\nrpm,\n',
      RUN,
      'x.run.yaml: the data have no column `time` with a unit of time.',
    ],
    [
      'an unknown quantity',
      'time,a\ns,rpm\n',
      `${RUN}columns: { engine_sped: a }\n`,
      'x.run.yaml:5: Unknown quantity `engine_sped`.',
    ],
    [
      'a column that is not there',
      'time,a\ns,rpm\n',
      `${RUN}columns: { engine_speed: b }\n`,
      'x.run.yaml: The first line has no column `b` (columns.engine_speed).',
    ],
    [
      'no such data',
      '',
      RUN.replace('data.csv', 'none.csv'),
      'x.run.yaml: Cannot read none.csv: no such file or folder.',
    ],
    [
      'other data',
      '',
      RUN.replace('data.csv', 'secret.key'),
      'x.run.yaml: the data must be a *.csv, *.tsv or *.txt file, not secret.key.',
    ],
    [
      'no engine file',
      '',
      RUN.replace('wheatear-10', 'none'),
      'x.run.yaml: Cannot read none.engine.yaml: no such file or folder.',
    ],
    [
      'no such map set',
      'time\ns\n',
      `${RUN}map_set: tow\n`,
      'x.run.yaml: the engine file has no map set `tow`.',
    ],
    [
      'a wrong key',
      '',
      `${RUN}brakes: 1\n`,
      'x.run.yaml:5: Unknown key `brakes` in the file; the nearest known key is `brake`.',
    ],
    ['a wrong unit', '', `${RUN}exhaust_delay: 3 rpm\n`, 'x.run.yaml:5: '],
  ])('%s', async (_what, data, run, message) => {
    const { status, err } = await outcomeOf(data, run);
    expect(status).toBe(2);
    // In a terminal, code is in quotes.
    expect(err).toContain(message.replaceAll('`', "'"));
  });
});
