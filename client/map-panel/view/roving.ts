/**
 * Arrow keys in a table or a plan: one stop for Tab, arrow keys from there. `rows` gives the elements that can be reached, row
 * by row. Enter and Space act as a click.
 */
export function roving(host: HTMLElement, rows: () => readonly (readonly HTMLElement[])[]): void {
  host.addEventListener('focusin', ({ target }) => {
    if (target instanceof HTMLElement && target.hasAttribute('tabindex')) stopAt(host, target);
  });
  host.addEventListener('keydown', (event) => {
    const here = event.target;
    if (!(here instanceof HTMLElement)) return;
    if (event.key === 'Enter' || event.key === ' ') {
      if (here.tagName === 'BUTTON') return;
      here.click();
      event.preventDefault();
      return;
    }
    const all = rows();
    const row = all.findIndex((line) => line.includes(here));
    if (row < 0) return;
    const next = moved(all, row, all[row]!.indexOf(here), event);
    if (!next) return;
    next.focus();
    event.preventDefault();
  });
}

/** Makes an element the stop for Tab. */
export function stopAt(host: HTMLElement, stop: HTMLElement): void {
  for (const other of host.querySelectorAll<HTMLElement>('[tabindex="0"]')) other.tabIndex = -1;
  stop.tabIndex = 0;
}

function moved<Item>(
  rows: readonly (readonly Item[])[],
  row: number,
  column: number,
  { key, ctrlKey }: Pick<KeyboardEvent, 'key' | 'ctrlKey'>,
): Item | undefined {
  const line = rows[row]!;
  switch (key) {
    case 'ArrowUp':
      return nearestIn(rows[row - 1], column);
    case 'ArrowDown':
      return nearestIn(rows[row + 1], column);
    case 'ArrowLeft':
      return line[column - 1];
    case 'ArrowRight':
      return line[column + 1];
    case 'Home':
      return (ctrlKey ? rows[0] : line)?.[0];
    case 'End':
      return (ctrlKey ? rows.at(-1) : line)?.at(-1);
    default:
      return undefined;
  }
}

const nearestIn = <Item>(line: readonly Item[] | undefined, column: number): Item | undefined =>
  line?.[Math.min(column, line.length - 1)];
