/** The first difference between two answers, as it is in both. Long texts are cut to the part around it. */
export function firstDifference(found, expected, at = 'answer') {
  const isTree = (one) => typeof one === 'object' && one !== null;
  if (isTree(found) && isTree(expected)) {
    for (const key of new Set([...Object.keys(expected), ...Object.keys(found)]))
      if (JSON.stringify(found[key]) !== JSON.stringify(expected[key]))
        return firstDifference(found[key], expected[key], `${at}.${key}`);
  }
  const [a, b] = [found, expected].map((one) => JSON.stringify(one) ?? 'nothing');
  let same = 0;
  while (same < a.length && a[same] === b[same]) same++;
  const around = (text) => text.slice(Math.max(0, same - 100), same + 200);
  return `${at}\n is ${around(a)}\n and alone ${around(b)}`;
}
