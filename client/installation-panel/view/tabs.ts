import { html } from '../../map-panel/view/element.ts';

/** A row of tabs: arrow keys move between them, and the focused one is shown. */
export interface Tabs<Name extends string> {
  readonly element: HTMLElement;
  select(name: Name): void;
  /** The id of the tab, which labels the page. */
  idOf(name: Name): string;
}

/** The tabs control the page with the id `page`. */
export function tabList<Name extends string>(
  label: string,
  pages: Readonly<Record<Name, string>>,
  choose: (name: Name) => void,
): Tabs<Name> {
  const names = Object.keys(pages) as Name[];
  const idOf = (name: Name) => `tab-${name}`;
  const tabs = names.map((name) => {
    const attributes = { type: 'button', role: 'tab', id: idOf(name), 'aria-controls': 'page' };
    const tab = html('button', attributes, pages[name]);
    tab.addEventListener('click', () => choose(name));
    return tab;
  });
  const element = html('div', { role: 'tablist', 'aria-label': label }, ...tabs);
  element.addEventListener('keydown', (event) => {
    const next = destination(event.key, tabs.indexOf(event.target as HTMLButtonElement), tabs.length);
    if (next === undefined) return;
    choose(names[next]!);
    tabs[next]!.focus();
    event.preventDefault();
  });
  return {
    element,
    idOf,
    select(chosen) {
      names.forEach((name, i) => {
        tabs[i]!.setAttribute('aria-selected', String(name === chosen));
        tabs[i]!.tabIndex = name === chosen ? 0 : -1;
      });
    },
  };
}

/** The tab that a key leads to, wrapping at the ends; undefined for other keys. */
function destination(key: string, from: number, count: number): number | undefined {
  switch (key) {
    case 'ArrowRight':
      return (from + 1) % count;
    case 'ArrowLeft':
      return (from - 1 + count) % count;
    case 'Home':
      return 0;
    case 'End':
      return count - 1;
    default:
      return undefined;
  }
}
