import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { NamedCircuit } from '../derived/circuits.ts';
import { type Arrangement, arrange } from './arrange.ts';
import { type Box, type BoxKind, type Graph, harnessGraph } from './graph.ts';
import { type Columns, columnsOf } from './layers.ts';
import { channelsOf, type Stretch, trackCount } from './route.ts';

/** A rectangle; all lengths are in the units of the drawing, about one pixel each. */
export interface DrawnBox {
  readonly id: string;
  readonly kind: BoxKind;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A text in a box; `x` is its start or, if `isAtEnd`, its end, and `y` its baseline. */
export interface DrawnText {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly isAtEnd: boolean;
  readonly kind: 'title' | 'label' | 'note';
  /** The circuit that a note names. */
  readonly circuit: string;
}

/** One circuit: its stretches and the points where it divides. */
export interface DrawnCircuit {
  readonly name: string;
  readonly stretches: readonly Stretch[];
  readonly joints: readonly (readonly [x: number, y: number])[];
}

export interface HarnessDrawing {
  readonly width: number;
  readonly height: number;
  readonly boxes: readonly DrawnBox[];
  readonly texts: readonly DrawnText[];
  readonly circuits: readonly DrawnCircuit[];
}

/** The distance of two rows, and the size of the letters. */
export const ROW = 14;
export const FONT_SIZE = 10;
const TRACK = 6;
const STUB = 8;
const PADDING = 5;
const MARGIN = 2;
/** Space between the label and the note of a row. */
const BETWEEN = 10;

/** The widest that a letter of a monospaced font is; scripts with wide letters need twice that. */
const LETTER = 0.62;
const isWide = (letter: string): boolean => letter.codePointAt(0)! >= 0x1100;

/** The width of a text in the drawing, rather too large than too small. */
export const textWidth = (text: string): number =>
  Array.from(text).reduce((sum, letter) => sum + (isWide(letter) ? 2 : 1), 0) * LETTER * FONT_SIZE;

/**
 * Draws circuits: controller and aircraft to the left, connectors and splices in the middle, sensors, loads and devices to the right.
 * Every text is inside a box that is wide enough for it, and lines run only between boxes and past them, so that no text is
 * covered. Columns lie alternately half a row apart: a line that leaves one column cannot run into one that enters the next.
 */
export function harnessDrawing(
  configuration: EngineConfiguration,
  circuits: readonly NamedCircuit[],
): HarnessDrawing {
  const graph = harnessGraph(configuration, circuits);
  const columns = columnsOf(graph);
  const arrangement = arrange(graph, columns);
  const channels = channelsOf(graph, columns, arrangement);
  const widths = columns.columns.map((items) =>
    Math.max(0, ...items.map(({ box }) => (box ? widthOf(box) : 0))),
  );
  const lefts: number[] = [];
  let x = MARGIN;
  for (const [i, width] of widths.entries()) {
    lefts.push(x);
    const tracks = i < channels.length ? trackCount(channels[i]!) : 0;
    x += width + (i < widths.length - 1 ? 2 * STUB + Math.max(0, tracks - 1) * TRACK : 0);
  }
  const yOf = (row: number, column: number) => MARGIN + ROW * (row + 0.5 + (column % 2) / 2);
  return {
    width: Math.ceil(x + MARGIN),
    height: Math.ceil(arrangement.height * ROW + ROW / 2 + 2 * MARGIN),
    ...boxesOf(graph, columns, arrangement, { lefts, widths, yOf }),
    circuits: circuitsOf(circuits, columns, arrangement, channels, { lefts, widths, yOf }),
  };
}

function widthOf({ title, rows }: Box): number {
  const widest = rows.map(
    ({ label, note }) => textWidth(label) + textWidth(note) + (label && note ? BETWEEN : 0),
  );
  return Math.ceil(Math.max(textWidth(title), ...widest) + 2 * PADDING);
}

interface Frame {
  readonly lefts: readonly number[];
  readonly widths: readonly number[];
  yOf(row: number, column: number): number;
}

/** From the middle of a row to the baseline of its text. */
const BASELINE = 0.35 * FONT_SIZE;

function boxesOf(
  { boxes }: Graph,
  { columnOf }: Columns,
  { topOf, rowOf }: Arrangement,
  { lefts, widths, yOf }: Frame,
): Pick<HarnessDrawing, 'boxes' | 'texts'> {
  const texts: DrawnText[] = [];
  const drawn = boxes.map((box): DrawnBox => {
    const column = columnOf.get(box)!;
    const [x, width, top] = [lefts[column]!, widths[column]!, topOf.get(box)!];
    const add = (text: string, row: number, kind: DrawnText['kind'], circuit = '') => {
      const isAtEnd = kind === 'note';
      if (text === '') return;
      const at = isAtEnd ? x + width - PADDING : x + PADDING;
      texts.push({ text, x: at, y: yOf(row, column) + BASELINE, isAtEnd, kind, circuit });
    };
    add(box.title, top, 'title');
    for (const row of box.rows) {
      add(row.label, rowOf.get(row)!, 'label');
      add(row.note, rowOf.get(row)!, 'note', row.circuit);
    }
    const y = yOf(top, column) - ROW / 2;
    return { id: box.id, kind: box.kind, x, y, width, height: (box.rows.length + 1) * ROW };
  });
  return { boxes: drawn, texts };
}

function circuitsOf(
  circuits: readonly NamedCircuit[],
  { columns }: Columns,
  arrangement: Arrangement,
  channels: ReturnType<typeof channelsOf>,
  { lefts, widths, yOf }: Frame,
): DrawnCircuit[] {
  return circuits.map(({ name }) => {
    const stretches: Stretch[] = [];
    const joints: [number, number][] = [];
    for (const [i, channel] of channels.entries()) {
      const own = channel.get(name);
      if (!own) continue;
      const [from, to] = [lefts[i]! + widths[i]!, lefts[i + 1] ?? 0];
      const x = from + STUB + own.track * TRACK;
      const [left, right] = [own.left.map((row) => yOf(row, i)), own.right.map((row) => yOf(row, i + 1))];
      const ys = [...left, ...right].sort((a, b) => a - b);
      for (const y of left) stretches.push([from, y, x, y]);
      for (const y of right) stretches.push([x, y, to, y]);
      stretches.push([x, ys[0]!, x, ys.at(-1)!]);
      for (const y of ys.slice(1, -1)) joints.push([x, y]);
    }
    for (const [i, items] of columns.entries()) {
      if (!items.some(({ box, circuit }) => !box && circuit === name)) continue;
      const y = yOf(arrangement.passing(i, name), i);
      stretches.push([lefts[i]!, y, lefts[i]! + widths[i]!, y]);
    }
    return { name, stretches, joints };
  });
}
