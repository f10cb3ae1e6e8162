import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
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

describe('an overlay', () => {
  /** Two changes in the base file with consequences, of which the overlay may override one. */
  const report = async (format: string, own: string) => {
    const is = edited(flow('300 cc/min'), [['overboost_cut: 160 kPa abs', 'overboost_cut: 150 kPa abs']]);
    const [was, now] = [complete, is].map((base) =>
      folderOf({ ...CONTROLLER, 'base.engine.yaml': base, 'over.engine.yaml': overlay(own) }),
    ) as [string, string];
    return (await compare(was, now, '--format', format)).out.replace(/\s+/g, ' ');
  };
  const same = {
    text: /As \S*base\.engine\.yaml: \S*over\.engine\.yaml/,
    junit: /same consequences as \S*base\.engine\.yaml/,
  };

  test.each(['text', 'junit'] as const)(
    'is the same as its base file only if all is the same: %s',
    async (format) => {
      expect(await report(format, '')).toMatch(same[format]);
      const overriding = await report(format, 'boost: { overboost_cut: 160 kPa abs }\n');
      expect(overriding).not.toMatch(same[format]);
      expect(overriding).toMatch(/over\.engine\.yaml/);
    },
  );

  test('that takes only a part says what it takes and where it is listed', async () => {
    const text = await report('text', 'boost: { overboost_cut: 160 kPa abs }\n');
    expect(text).toMatch(
      /Nothing changed except as in base files\..* consequences as in \S*base\.engine\.yaml, listed there\./,
    );
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
