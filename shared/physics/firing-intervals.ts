/** The crank angles (deg) of all sparks of an engine within a cycle, the first at 0, in rising order. */
function sparkAngles(intervals: readonly number[], cycle: number, wasted: boolean): number[] {
  let angle = 0;
  const firings = intervals.map((interval) => {
    const at = angle;
    angle += interval;
    return at;
  });
  const all = wasted ? firings.flatMap((at) => [at, (at + cycle / 2) % cycle]) : firings;
  return all.sort((a, b) => a - b);
}

/** Sparks closer than this (deg) are one spark in two cylinders. */
const TOGETHER = 0.5;

/**
 * The shortest crank angle (deg) from one spark of the engine to the next. `wasted`: each cylinder also sparks half a cycle
 * after its firing.
 */
export function shortestSparkGap(intervals: readonly number[], cycle: number, wasted: boolean): number {
  const angles = sparkAngles(intervals, cycle, wasted);
  const gaps = angles.map((at, i) => (i + 1 < angles.length ? angles[i + 1]! : angles[0]! + cycle) - at);
  return Math.min(...gaps.filter((gap) => gap > TOGETHER));
}

/**
 * The shortest crank angle (deg) from one spark of a coil to its next, if each coil serves the two cylinders that are half
 * the firing order apart.
 */
export function shortestPairGap(intervals: readonly number[], cycle: number): number {
  const half = intervals.length / 2;
  const gaps = intervals.map((_, first) => {
    let gap = 0;
    for (let i = 0; i < half; i++) gap += intervals[(first + i) % intervals.length]!;
    return Math.min(gap, cycle - gap);
  });
  return Math.min(...gaps);
}
