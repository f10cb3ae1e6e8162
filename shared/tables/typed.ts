import type { Work } from './work.ts';

/**
 * What a text typed on selected cells means: `82.5` sets, `+2` adds, `*1.05` and `+5 %` scale, `/2` divides. A minus begins a
 * negative number, because a cell may hold one; `+-2` lowers.
 */
export function workTyped(text: string): Work {
  const typed = text.trim();
  if (/^[*×]/.test(typed)) return { kind: 'scale', text: typed.slice(1).trim() };
  if (/^\/|^\+.*%$/.test(typed)) return { kind: 'scale', text: typed };
  if (typed.startsWith('+')) return { kind: 'add', text: typed.slice(1).trim() };
  return { kind: 'set', text: typed };
}
