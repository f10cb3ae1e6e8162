import type { Box, Edge, Graph } from './graph.ts';

/** Something with a height in a column: a box, or a circuit that passes the column. */
export interface Item {
  readonly box: Box | undefined;
  /** The circuit that passes. */
  readonly circuit: string;
}

export interface Columns {
  /** The items from left to right; their order in a column is not decided yet. */
  readonly columns: readonly (readonly Item[])[];
  readonly columnOf: ReadonlyMap<Box, number>;
}

/**
 * The columns of the boxes: the controller and the aircraft first, sensors, loads and devices last; connectors and splices between
 * them, each behind what lies before it on a circuit.
 */
export function columnsOf({ boxes, edges }: Graph): Columns {
  const isMiddle = ({ kind }: Box) => kind === 'connector' || kind === 'splice';
  const middle = boxes.filter(isMiddle);
  const depth = depths(
    middle,
    followers(
      edges.filter(({ from, to }) => isMiddle(from.box) && isMiddle(to.box)),
      edges,
    ),
  );
  const last = 1 + Math.max(0, ...middle.map((box) => depth.get(box)!));
  const columnOf = new Map(
    boxes.map((box) => [box, isMiddle(box) ? depth.get(box)! : box.kind === 'part' ? last : 0]),
  );
  const columns: Item[][] = Array.from({ length: last + 1 }, () => []);
  for (const box of boxes) columns[columnOf.get(box)!]!.push({ box, circuit: '' });
  const passing = new Set<string>();
  for (const { circuit, from, to } of edges) {
    const [a, b] = [columnOf.get(from.box)!, columnOf.get(to.box)!];
    for (let column = Math.min(a, b) + 1; column < Math.max(a, b); column++) {
      const key = `${column} ${circuit}`;
      if (!passing.has(key)) columns[column]!.push({ box: undefined, circuit });
      passing.add(key);
    }
  }
  return { columns, columnOf };
}

/**
 * Which middle boxes come behind which: along each circuit, away from the controller and the aircraft, or towards a part. Connections
 * that would close a circle are left out.
 */
function followers(between: readonly Edge[], all: readonly Edge[]): Map<Box, Set<Box>> {
  const behind = new Map<Box, Set<Box>>();
  const reaches = (from: Box, to: Box): boolean => {
    const reached = new Set([from]);
    for (const box of reached) for (const next of behind.get(box) ?? []) reached.add(next);
    return reached.has(to);
  };
  const backward = circuitsTowardsController(all);
  for (const { circuit, from, to } of between) {
    const [first, second] = backward.has(circuit) ? [to.box, from.box] : [from.box, to.box];
    if (reaches(second, first)) continue;
    behind.set(first, (behind.get(first) ?? new Set()).add(second));
  }
  return behind;
}

/** The circuits that are written from a part or splice to the controller or the aircraft. */
function circuitsTowardsController(edges: readonly Edge[]): ReadonlySet<string> {
  const rank = ({ kind }: Box) =>
    kind === 'part' ? 2 : kind === 'controller' || kind === 'aircraft' ? 0 : 1;
  const first = new Map<string, Box>();
  const last = new Map<string, Box>();
  for (const { circuit, from, to } of edges) {
    if (!first.has(circuit)) first.set(circuit, from.box);
    last.set(circuit, to.box);
  }
  return new Set(
    [...first].flatMap(([circuit, box]) => (rank(box) > rank(last.get(circuit)!) ? circuit : [])),
  );
}

/** One more than the deepest box before it. No connections form a circle. */
function depths(boxes: readonly Box[], behind: ReadonlyMap<Box, ReadonlySet<Box>>): Map<Box, number> {
  const waitsFor = new Map(boxes.map((box) => [box, 0]));
  for (const others of behind.values()) for (const box of others) waitsFor.set(box, waitsFor.get(box)! + 1);
  const depth = new Map(boxes.map((box) => [box, 1]));
  const ready = boxes.filter((box) => waitsFor.get(box) === 0);
  for (const box of ready) {
    for (const next of behind.get(box) ?? []) {
      depth.set(next, Math.max(depth.get(next)!, depth.get(box)! + 1));
      waitsFor.set(next, waitsFor.get(next)! - 1);
      if (waitsFor.get(next) === 0) ready.push(next);
    }
  }
  return depth;
}
