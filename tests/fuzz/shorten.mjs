/** The maximum number of runs to shorten a series. */
const MOST_RUNS = 60;

/**
 * Removes bursts and steps from a series as long as it still fails; undefined if it does not fail. `run` returns the
 * failure.
 */
export async function shortened(series, run) {
  let runs = 0;
  const fails = async (bursts) => {
    runs += 1;
    return bursts.length > 0 && (await run({ ...series, bursts })) !== undefined;
  };
  let { bursts } = series;
  if (!(await fails(bursts))) return undefined;
  for (let size = Math.ceil(bursts.length / 2); size >= 1; size = size === 1 ? 0 : Math.ceil(size / 2)) {
    for (let at = 0; at < bursts.length && runs < MOST_RUNS; ) {
      const fewer = bursts.toSpliced(at, size);
      if (await fails(fewer)) bursts = fewer;
      else at += size;
    }
  }
  for (let i = bursts.length - 1; i >= 0; i--) {
    for (let at = bursts[i].length - 1; at >= 0 && runs < MOST_RUNS; at--) {
      if (bursts[i].length === 1) continue;
      const fewer = bursts.with(i, bursts[i].toSpliced(at, 1));
      if (await fails(fewer)) bursts = fewer;
    }
  }
  return { ...series, bursts };
}
