import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { engineAnalysis } from '../../server/commands/engine-file.ts';
import { circuitsOf } from '../../shared/derived/circuits.ts';
import {
  type DrawnText,
  FONT_SIZE,
  type HarnessDrawing,
  harnessDrawing,
  textWidth,
} from '../../shared/harness/drawing.ts';
import { harnessGraph } from '../../shared/harness/graph.ts';
import { circuitGroups } from '../../shared/harness/groups.ts';
import { columnsOf } from '../../shared/harness/layers.ts';
import { analyseCase } from '../support/fixture.ts';
import { SAMPLES, sampleNames } from '../support/samples.ts';
import { circuitsText, randomHarness, type WrittenCircuit } from './random-harness.ts';

const configurationOf = (text: string) =>
  analyseCase(new Map([['case.engine.yaml', text]])).installation!.configuration;

const drawn = (text: string): HarnessDrawing => {
  const configuration = configurationOf(text);
  return harnessDrawing(configuration, circuitsOf(configuration));
};

interface Rectangle {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** The space of a text: its width rather too large, and its height with ascenders and descenders. */
function spaceOf({ text, x, y, isAtEnd }: DrawnText): Rectangle {
  const width = textWidth(text);
  const left = isAtEnd ? x - width : x;
  return { left, right: left + width, top: y - 0.95 * FONT_SIZE, bottom: y + 0.25 * FONT_SIZE };
}

const meet = (a: Rectangle, b: Rectangle): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

/** What a reader could not tell apart: texts on texts, lines on texts, and lines of two circuits on each other. */
function confusions({ texts, circuits, width, height }: HarnessDrawing): string[] {
  const spaces = texts.map((text) => ({ text: text.text, ...spaceOf(text) }));
  const found: string[] = [];
  for (const [i, one] of spaces.entries()) {
    for (const other of spaces.slice(i + 1)) if (meet(one, other)) found.push(`${one.text} on ${other.text}`);
    if (one.left < 0 || one.right > width || one.top < 0 || one.bottom > height)
      found.push(`${one.text} outside`);
  }
  const pieces = circuits.flatMap(({ name, stretches }) =>
    stretches.map(([x1, y1, x2, y2]) => ({
      ...{
        name,
        left: Math.min(x1, x2),
        right: Math.max(x1, x2),
        top: Math.min(y1, y2),
        bottom: Math.max(y1, y2),
      },
    })),
  );
  for (const piece of pieces) {
    for (const space of spaces) if (meet(piece, space)) found.push(`${piece.name} over ${space.text}`);
  }
  for (const isFlat of [true, false]) {
    const along = pieces.filter(({ top, bottom }) => (top === bottom) === isFlat);
    for (const [i, a] of along.entries()) {
      for (const b of along.slice(i + 1)) {
        const isOneLine = isFlat ? a.top === b.top : a.left === b.left;
        const overlap = isFlat
          ? Math.min(a.right, b.right) - Math.max(a.left, b.left)
          : Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        if (a.name !== b.name && isOneLine && overlap > 0) found.push(`${a.name} along ${b.name}`);
      }
    }
  }
  return found;
}

/** The ends that the line of a circuit connects: the boxes that its stretches touch, each with the row. */
function rowsTouched({ boxes, circuits }: HarnessDrawing, name: string): number {
  const { stretches } = circuits.find((one) => one.name === name)!;
  const touched = new Set<string>();
  for (const [x1, y1, x2, y2] of stretches) {
    if (y1 !== y2) continue;
    for (const { id, x, y, width, height } of boxes) {
      const isAtEdge = [x1, x2].some((end) => end === x || end === x + width);
      if (isAtEdge && y1 > y && y1 < y + height) touched.add(`${id} ${y1}`);
    }
  }
  return touched.size;
}

describe('a harness drawing', () => {
  test('of 60 conductors has no text on a text or a line, and no line along another', () => {
    const drawing = drawn(circuitsText(randomHarness(60)));
    expect(drawing.circuits).toHaveLength(60);
    expect(confusions(drawing)).toEqual([]);
  });

  test('of the wired installation connects every end and position of each circuit', () => {
    const configuration = configurationOf('based_on: ./wired.engine.yaml\n');
    const drawing = harnessDrawing(configuration, circuitsOf(configuration));
    expect(confusions(drawing)).toEqual([]);
    for (const { name, ends, via } of circuitsOf(configuration))
      expect(rowsTouched(drawing, name), name).toBe(ends.length + via.length);
  });

  test('names each circuit once at each end where a reader looks for it', () => {
    const { texts } = drawn('based_on: ./wired.engine.yaml\n');
    const notes = texts.filter(({ kind }) => kind === 'note').map(({ text }) => text);
    expect(notes.filter((text) => text === 'map_signal')).toHaveLength(1);
    // From one device to another there is no pin and no splice.
    expect(notes).toContain('tachometer_ground');
  });

  test.each([
    ['controller.A1', 'sensors.a.signal'],
    ['standby.S23', 'sensors.a.signal'],
    ['sensors.a.signal', 'standby.S23'],
    ['bulkhead.1', 'sensors.a.signal'],
    ['sensors.a.signal', 'bulkhead.1'],
    ['bulkhead.1', 'main.2'],
    ['devices.a.negative', 'devices.b.negative'],
    ['splices.one', 'outputs.a.drive'],
    ['supply', 'devices.a.positive'],
  ])('names a circuit from %s to %s exactly once', (from, end) => {
    const { texts } = drawn(circuitsText([{ name: 'one', from, to: [end], via: ['bulkhead.3', 'main.1'] }]));
    expect(texts.filter(({ kind, text }) => kind === 'note' && text === 'one')).toHaveLength(1);
  });

  test('names every circuit of the samples', () => {
    for (const file of sampleNames.filter((name) => name.endsWith('.engine.yaml'))) {
      const { configuration } = engineAnalysis(SAMPLES + file, 'report').installation;
      const circuits = circuitsOf(configuration);
      const noted = new Set(
        harnessDrawing(configuration, circuits).texts.flatMap(({ kind, text }) =>
          kind === 'note' ? text : [],
        ),
      );
      expect([...noted].sort(), file).toEqual(circuits.map(({ name }) => name).sort());
    }
  });

  test('has a box of its kind for the pins of either controller', () => {
    const { boxes, texts } = drawn(
      circuitsText([
        { name: 'first', from: 'controller.S23', to: ['sensors.a.signal'], via: [] },
        { name: 'second', from: 'standby.S23', to: ['sensors.b.signal'], via: [] },
      ]),
    );
    const left = boxes.filter(({ kind }) => kind === 'controller');
    expect(left.map(({ id }) => id)).toEqual(['controller.S', 'standby.S']);
    expect(new Set(left.map(({ x }) => x)).size).toBe(1);
    expect(texts.filter(({ kind }) => kind === 'title').map(({ text }) => text)).toEqual(
      expect.arrayContaining(['Controller S', 'Standby S']),
    );
  });

  test('ends for circuits over 40 layers of two connectors that join every pair, and over a chain of 3000', () => {
    const layers = Array.from({ length: 40 }, (_, i) => i);
    const joined = layers.slice(1).flatMap((layer) =>
      [0, 1].flatMap((from) =>
        [0, 1].map(
          (to): WrittenCircuit => ({
            name: `layer_${layer}_${from}${to}`,
            ...{ from: `c_${layer - 1}_${from}.${to + 1}`, to: [`c_${layer}_${to}.${from + 3}`], via: [] },
          }),
        ),
      ),
    );
    expect(new Set(drawn(circuitsText(joined)).boxes.map(({ x }) => x)).size).toBe(40);
    const via = Array.from({ length: 3000 }, (_, i) => `c_${i}.1`);
    const configuration = configurationOf(
      circuitsText([{ name: 'chain', from: 'controller.A1', to: ['sensors.a.signal'], via }]),
    );
    const graph = harnessGraph(configuration, circuitsOf(configuration));
    expect(columnsOf(graph).columns).toHaveLength(3002);
  });

  test('of any harness, also one with ends that do not exist, has no confusion', () => {
    const end = fc.constantFrom(
      ...[
        'supply',
        'ground',
        'controller.A1',
        'controller.A2',
        'controller.B7',
        'controller.',
        'standby.S1',
        'standby.S2',
        'splices.one',
      ],
      ...[
        'splices.two',
        'sensors.crank.signal',
        'sensors.crank.ground',
        'outputs.a.drive',
        'devices.b.positive',
      ],
      ...[
        'devices.b.negative',
        'bulkhead.3',
        'nowhere',
        'sensors',
        '温度.信号',
        'a_very_long_name_of_something.x',
      ],
    );
    const via = fc.constantFrom('bulkhead.1', 'bulkhead.2', 'main.1', 'main.2', 'third.9', 'none');
    const circuit = fc.record({
      from: end,
      to: fc.array(end, { minLength: 1, maxLength: 4 }),
      via: fc.array(via, { maxLength: 3 }),
    });
    fc.assert(
      fc.property(fc.array(circuit, { minLength: 1, maxLength: 40 }), (circuits) => {
        const named = circuits.map((one, i): WrittenCircuit => ({ name: `circuit_${i}`, ...one }));
        expect(confusions(drawn(circuitsText(named)))).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });
});

test('circuits are grouped by the connector of the controller, with all that is spliced to them', () => {
  const configuration = configurationOf(
    circuitsText([
      { name: 'feed', from: 'supply', to: ['splices.one'], via: [] },
      { name: 'branch', from: 'splices.one', to: ['controller.C2'], via: [] },
      { name: 'signal', from: 'sensors.x.signal', to: ['controller.A10'], via: [] },
      { name: 'apart', from: 'devices.b.positive', to: ['supply'], via: [] },
    ]),
  );
  expect(
    circuitGroups(circuitsOf(configuration)).map(({ connector, circuits }) => [
      connector,
      ...circuits.map(({ name }) => name),
    ]),
  ).toEqual([
    ['A', 'signal'],
    ['C', 'feed', 'branch'],
    ['', 'apart'],
  ]);
});

test('circuits of the standby controller have groups of their own, and pins without letters are one connector', () => {
  const configuration = configurationOf(
    circuitsText([
      { name: 'second', from: 'sensors.y.signal', to: ['standby.A1'], via: [] },
      { name: 'both', from: 'controller.A1', to: ['splices.one'], via: [] },
      { name: 'other', from: 'splices.one', to: ['standby.A2'], via: [] },
      { name: 'numbered', from: 'controller.1', to: ['sensors.x.signal'], via: [] },
      { name: 'numbered_too', from: 'controller.2', to: ['sensors.x.ground'], via: [] },
      { name: 'apart', from: 'devices.b.positive', to: ['supply'], via: [] },
    ]),
  );
  expect(
    circuitGroups(circuitsOf(configuration)).map(({ controller, connector, circuits }) => [
      `${controller} ${connector}`,
      ...circuits.map(({ name }) => name),
    ]),
  ).toEqual([
    ['controller ', 'numbered', 'numbered_too'],
    ['controller A', 'both', 'other'],
    ['standby A', 'second'],
    ['undefined ', 'apart'],
  ]);
});
