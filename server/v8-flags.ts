import { setFlagsFromString } from 'node:v8';

/** Electron's V8 may abort a program that sets flags after the start, so flags are set only elsewhere. */
const mayBeSet = !('electron' in process.versions);

/**
 * By default V8 lets the heap double before a full collection. Nearly all objects of a file survive an edit, so growth by 30 %
 * is enough.
 */
export function keepHeapSmall(): void {
  if (mayBeSet) setFlagsFromString('--heap-growing-percent=30');
}

/**
 * Analysing a file calls thousands of functions a few hundred times each. V8 11 (Node 20) optimises them too early and again
 * when other argument types appear, which costs a third of the first open. Later versions of V8 wait longer and do not
 * have this flag.
 */
export function optimizeLate(): void {
  if (mayBeSet && process.versions.v8.startsWith('11.')) setFlagsFromString('--interrupt-budget=300000');
}
