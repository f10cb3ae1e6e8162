import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { steeringSensors } from '../../shared/derived/faults.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { analysisOf, changed, compareTexts, complete, edited, told, valuesIn } from './pair.ts';
import { CONTROLLER, twoStates } from './states.ts';

/** The injectors of a complete installation with this flow. */
const flow = (text: string) => edited(complete, [['static_flow: 340 cc/min', `static_flow: ${text}`]]);
const overlay = (more = '') => `enginefile: 1\nbased_on: ./base.engine.yaml\n${more}`;
const compare = (...args: string[]) => enginewright('compare', ...args, '--time', '0');

describe('several files', () => {
  /** Two states of a folder in which only the base file changes; one overlay has an engine of its own. */
  const states = () =>
    [complete, flow('150 cc/min')].map((base) =>
      folderOf({
        ...CONTROLLER,
        'a.engine.yaml': overlay('revision: A\n'),
        'base.engine.yaml': base,
        'm.engine.yaml': overlay('engine: { bore: 86 mm }\n'),
        'z.engine.yaml': edited(complete, [['revision: A', 'revision: B']]),
      }),
    ) as [string, string];

  test.each([
    ['text', /^Files\n +\S*(base|m)\.engine\.yaml /],
    ['markdown', /\| File \| Verdict \|\n\|---\|---\|\n\| \S*(base|m)\.engine\.yaml \| ⛔/],
    ['html', /<tbody><tr class="stop"><td><a href="#file-1">/],
  ])('are listed at the head of %s, the worst first, those alike in one row', async (format, head) => {
    const { status, out } = await compare(...states(), '--format', format);
    expect(status).toBe(1);
    expect(out).toMatch(head);
    expect(out.replace(/\s+/g, ' ')).toMatch(
      /a\.engine\.yaml\W.*as \S*base\.engine\.yaml|As \S*base\.engine\.yaml: \S*a\.engine\.yaml/,
    );
  });

  test('count the consequences of a base file once, and JSON marks those that an overlay inherits', async () => {
    const folders = states();
    const alone = await compare(join(folders[0], 'base.engine.yaml'), join(folders[1], 'base.engine.yaml'));
    const [, errors] = /(\d+) new errors?/.exec(alone.out)!;
    const { out } = await compare(...folders, '--format', 'json');
    const { consequences } = JSON.parse(out) as {
      consequences: { file: string; type: string; severity?: string; inherited?: true }[];
    };
    const errorsOf = (name: string, isInherited: boolean) =>
      consequences.filter(
        ({ file, severity, inherited }) =>
          file.endsWith(name) && severity === 'error' && (inherited ?? false) === isInherited,
      ).length;
    expect(errorsOf('a.engine.yaml', false)).toBe(0);
    expect(errorsOf('a.engine.yaml', true)).toBe(Number(errors));
    expect(errorsOf('base.engine.yaml', false)).toBe(Number(errors));
  });
});

describe('beyond a limit', () => {
  test.each(['text', 'markdown', 'github', 'junit', 'sarif'])(
    'further than before is no success in %s, though no finding is new',
    async (format) => {
      const states = twoStates(flow('150 cc/min'), flow('149 cc/min'));
      const { status, out } = await compare(...states, '--format', format);
      expect(status).toBe(1);
      expect(out).toMatch(/further beyond/);
      expect(out).not.toContain('✅');
    },
  );

  const accept = (rule: string, above: string): readonly [string, string] => [
    `    ${above}`,
    `    # accept ${rule}: bench card 14\n    ${above}`,
  ];
  const weak = flow('150 cc/min');
  const acceptedDuty = [
    accept('injector-duty-over-100', 'static_flow'),
    accept('injector-duty-at-fault-pressure', 'fault_pressure'),
  ];

  test('counts as accepted if the file accepts a finding of a check that reports it, and the text says so', async () => {
    const [open, settled] = [
      await compare(...twoStates(complete, weak)),
      await compare(...twoStates(complete, edited(weak, acceptedDuty))),
    ];
    expect([open.status, settled.status]).toEqual([1, 0]);
    expect(open.out).toMatch(/now\s+beyond\s+the\s+limit/);
    expect(settled.out.replace(/\s+/g, ' ')).toMatch(/now beyond the limit, accepted/);
  });

  test.each([
    // What the same part, or the same key, is accepted for is another matter.
    [
      'another check of the same part',
      [
        ['minimum_pulse: 1.1 ms', 'minimum_pulse: 8 ms'],
        accept('injector-below-minimum-pulse', 'minimum_pulse'),
      ],
      { status: 1, isAccepted: false },
    ],
    [
      'the check of the same value with the pressure of a weak rail',
      [accept('injector-duty-at-fault-pressure', 'fault_pressure')],
      { status: 1, isAccepted: false },
    ],
    // Without a written limit, the threshold of a check counts.
    [
      'the check of the value, without a written limit',
      [['    maximum_duty: 85 %\n', ''], ...acceptedDuty],
      { status: 0, isAccepted: true },
    ],
  ] as const)('is settled by %s only if that reports it', async (_, replacements, expected) => {
    const accepting = edited(weak, replacements);
    expect(analysisOf(accepting).accepted).not.toEqual([]);
    const duties = valuesIn(compareTexts(complete, accepting)).filter(({ id }) => id === 'injector_duty');
    const beyond = duties.filter(({ limit }) => limit && limit.is! < 0);
    expect(beyond).not.toEqual([]);
    for (const { limit } of beyond) expect(limit!.accepted !== undefined).toBe(expected.isAccepted);
    expect(await compare(...twoStates(complete, accepting))).toMatchObject({ status: expected.status });
  });

  test('is not settled by the same finding about another thing', () => {
    const wires = (accepted: string) =>
      valuesIn(
        changed(
          ['length: 1.4 m, current: 9 A', 'length: 9.4 m, current: 9 A'],
          ['length: 1.2 m, current: 1 A', 'length: 92 m, current: 1 A'],
          [`        ${accepted}: {`, `        # accept wire-voltage-drop: measured\n        ${accepted}: {`],
        ),
      )
        .filter(({ id }) => id === 'wire_voltage_drop')
        .map(({ at, limit }) => [at.at(-'1.current'.length), limit!.is! < 0, limit!.accepted])
        .sort();
    expect(wires('1')).toEqual([
      ['1', true, 'measured'],
      ['3', true, undefined],
    ]);
    expect(wires('3')).toEqual([
      ['1', true, undefined],
      ['3', true, 'measured'],
    ]);
  });
});

describe('brief', () => {
  test('text lists what matters most and counts the rest; --all lists everything', async () => {
    const states = twoStates(complete, flow('300 cc/min'));
    const [brief, all] = [await compare(...states), await compare(...states, '--all')];
    expect(brief.out).toMatch(/Not listed: \d+ values? with a reduced margin/);
    expect(brief.out.split('\n').length).toBeLessThan(50);
    expect(all.out).not.toContain('Not listed: 1');
    expect(all.out.length).toBeGreaterThan(brief.out.length);
  });

  test('a reduced margin says how much of it the change takes', async () => {
    const { out } = await compare(...twoStates(complete, flow('300 cc/min')));
    expect(out).toMatch(/margin \d+\.?\d* → \d+\.?\d* points \(−\d+\.?\d* %\)/);
  });
});

test('two pins that were exchanged are one exchange', () => {
  const swapped = changed(
    ['    pin: A1\n    supply: 5 V', '    pin: A2\n    supply: 5 V'],
    ['    pin: A2\n    scaling: { 0.5 V: 0 bar', '    pin: A1\n    scaling: { 0.5 V: 0 bar'],
  );
  expect(told(swapped).filter((one) => one.includes('pin'))).toEqual([
    expect.stringContaining('A1 → A2, exchanged with'),
    expect.stringContaining('A2 → A1, exchanged with'),
  ]);
});

describe('a new scaling', () => {
  const scaled = changed([
    'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 250 kPa abs }',
    'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 300 kPa abs }',
  ]);

  test('says what the same input reads now', () => {
    expect(told(scaled)).toContainEqual(
      expect.stringContaining('the same input reads 300 instead of 250 kPa abs at 4.65 V'),
    );
  });

  test('says what fuel and spark become if the sensor was not replaced', () => {
    const lambda = scaled.consequences.find(
      (one) => one.type === 'value' && one.id === 'target_lambda_with_old_manifold_pressure',
    );
    // The controller reads a higher pressure than there is, and injects too much.
    expect(lambda).toMatchObject({ isConditional: true });
    if (lambda?.type !== 'value') throw new Error('no value');
    expect(lambda.is!.canonical).toBeLessThan(lambda.was!.canonical);
    expect(lambda.point).toMatch(/^\w+, reads \d+ kPa abs$/);
  });

  /** Which values hold only if the sensor was not replaced, where its curve changes from one text to the other. */
  const conditional = (
    name: string,
    [from, to]: readonly [string, string],
    ...both: readonly (readonly [string, string])[]
  ) => {
    const was = edited(complete, both);
    const values = valuesIn(compareTexts(was, edited(was, [[from, to]])));
    return values.filter(({ id, isConditional }) => isConditional && id.endsWith(`_with_old_${name}`));
  };
  const map = ['0.40 V: 20 kPa abs, 4.65 V: 250 kPa abs', '0.40 V: 20 kPa abs, 4.65 V: 300 kPa abs'] as const;
  const air = (name: string, measures: string) =>
    `  ${name}:\n    measures: ${measures}\n    kind: ratiometric\n    pin: A4\n    supply: 5 V\n    scaling: { 0.5 V: -40 °C, 4.5 V: 160 °C }\n  oil_pressure:\n`;
  const warmer = ['4.5 V: 160 °C', '4.5 V: 170 °C'] as const;
  const withAir = ['  oil_pressure:\n', air('air', 'intake_air_temperature')] as const;
  /** The charge temperature sensor measures something else. */
  const noCharge = ['    measures: charge_temperature\n', '    measures: oil_temperature\n'] as const;

  test.each([
    ['a sensor alone', conditional('manifold_pressure', map), true],
    [
      'one of two of the same quantity',
      conditional('manifold_pressure', map, [
        '  oil_pressure:\n',
        '  second:\n    measures: manifold_pressure\n    kind: ratiometric\n    pin: A4\n    supply: 5 V\n    scaling: { 0 V: 0 kPa abs, 5 V: 300 kPa abs }\n  oil_pressure:\n',
      ]),
      false,
    ],
    ['the intake air in place of the charge', conditional('air', warmer, withAir, noCharge), true],
    ['the intake air beside the charge', conditional('air', warmer, withAir), false],
  ])('says that of a sensor on which fuel and spark depend: %s', (_, found, isExpected) => {
    expect(found.length > 0).toBe(isExpected);
  });

  test('concerns the fuel pressure only if a loop compensates for it', () => {
    const steering = (compensate: boolean) =>
      steeringSensors(
        analysisOf(edited(complete, [['compensate: true', `compensate: ${compensate}`]])).installation!,
      );
    expect(steering(true)).toContain('fuel_pressure');
    expect(steering(false)).toEqual(steering(true).filter((name) => name !== 'fuel_pressure'));
  });

  test('never hides a real margin behind values if the sensor was not replaced', async () => {
    const both = edited(flow('300 cc/min'), [
      [
        'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 250 kPa abs }',
        'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 300 kPa abs }',
      ],
    ]);
    const [states, alone] = [twoStates(complete, both), twoStates(complete, flow('300 cc/min'))];
    const margins = (out: string) =>
      out.split('\n').filter((line) => /limit-closer|margin/.test(line)).length;
    for (const format of ['text', 'github', 'junit', 'sarif']) {
      const [one, two] = [
        await compare(...alone, '--format', format),
        await compare(...states, '--format', format),
      ];
      expect(margins(one.out), format).toBeGreaterThan(0);
      expect(margins(two.out), format).toBeGreaterThanOrEqual(margins(one.out));
    }
    const { out } = await compare(...states, '--format', 'json');
    const { consequences } = JSON.parse(out) as { consequences: { id: string; conditional?: true }[] };
    const conditional = consequences.filter((one) => one.conditional);
    expect(conditional.map(({ id }) => id)).toContain('target_lambda_with_old_manifold_pressure');
    expect(conditional.every(({ id }) => id.includes('_with_old_'))).toBe(true);
    // The verdict counts only what changes for certain.
    const { out: text } = await compare(...states);
    const values = consequences.filter((one) => 'id' in one && (one as { type?: string }).type === 'value');
    expect(text.replace(/\s+/g, ' ')).toContain(
      `${values.length - conditional.length} derived values changed`,
    );
    expect(text.replace(/\s+/g, ' ')).toMatch(/\d+ values? if a sensor was not replaced/);
  });
});
