import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { circuitsOf } from '../../shared/derived/circuits.ts';
import {
  type DrawnText,
  FONT_SIZE,
  type HarnessDrawing,
  harnessDrawing,
  textWidth,
} from '../../shared/harness/drawing.ts';
import { circuitGroups } from '../../shared/harness/groups.ts';
import { analyseCase } from '../support/fixture.ts';
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

  test('of any harness, also one with ends that do not exist, has no confusion', () => {
    const end = fc.constantFrom(
      ...[
        'supply',
        'ground',
        'controller.A1',
        'controller.A2',
        'controller.B7',
        'controller.',
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
