/** Wrong case counts as half an error: `Kpa` is closer to `kPa` than to `hPa`. */
const WRONG_CASE = 0.5;

const folded = (word: string): string => word.toLowerCase().replace(/[-_ ]/g, '');

/** Whether two words differ only in case and separators. */
export function isSameWord(one: string, other: string): boolean {
  return folded(one) === folded(other);
}

/** More names than any engine has; comparing thousands with each other would take minutes. */
const MOST_CANDIDATES = 500;

/** The candidate that was probably meant by `word`: the nearest one, if it is only a few typing errors away. */
export function nearestWord(word: string, candidates: Iterable<string>): string | undefined {
  if (word.length > 60) return undefined;
  let nearest: string | undefined;
  let least = Math.max(1, Math.floor(word.length / 3)) + 0.1;
  const own = folded(word);
  let met = 0;
  for (const candidate of candidates) {
    if (++met > MOST_CANDIDATES) break;
    const isSame = folded(candidate) === own;
    // Each extra letter is an error, so a difference in length rules out most candidates quickly.
    if (!isSame && Math.abs(candidate.length - word.length) >= least) continue;
    const slips = isSame ? 0 : slipsBetween(word, candidate, least);
    if (slips < least) [nearest, least] = [candidate, slips];
  }
  return nearest;
}

/**
 * The number of insertions, deletions, replacements and swaps of neighbours that turn one text into the other; if that
 * is `most` or more, any number that is at least `most`.
 */
export function slipsBetween(from: string, to: string, most = Infinity): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: to.length + 1 }, (_, j) => j);
  let leastOfLast = 0;
  for (let i = 1; i <= from.length; i++) {
    const row = [i];
    let least = i;
    for (let j = 1; j <= to.length; j++) {
      const [a, b] = [from[i - 1]!, to[j - 1]!];
      const replaced = a === b ? 0 : a.toLowerCase() === b.toLowerCase() ? WRONG_CASE : 1;
      let slips = Math.min(last[j]! + 1, row[j - 1]! + 1, last[j - 1]! + replaced);
      const swapped = a !== b && a === to[j - 2] && b === from[i - 2];
      if (swapped) slips = Math.min(slips, beforeLast[j - 2]! + 1);
      row.push(slips);
      least = Math.min(least, slips);
    }
    // The rows below derive from these two and are never smaller.
    if (least >= most && leastOfLast >= most) return Infinity;
    [beforeLast, last, leastOfLast] = [last, row, least];
  }
  return last[to.length]!;
}
