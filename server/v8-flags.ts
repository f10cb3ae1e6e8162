import { setFlagsFromString } from 'node:v8';

/** The V8 of a desktop editor may be one that ends a program which sets flags so late, so there they are left alone. */
const mayBeSet = !('electron' in process.versions);

/**
 * V8 lets what lives on grow to twice its size before it looks for what does not. Nearly all that is known of a file lives
 * on through an edit, so a third more is room enough.
 */
export function keepHeapSmall(): void {
  if (mayBeSet) setFlagsFromString('--heap-growing-percent=30');
}

/**
 * A file is read and judged by thousands of functions that each run some hundred times. V8 11, which is that of Node 20,
 * optimises them when they have hardly seen what they are called with, and then again when they meet something else: a
 * third of a first open. Later versions of V8 wait by themselves and have no such flag.
 */
export function optimizeLate(): void {
  if (mayBeSet && process.versions.v8.startsWith('11.')) setFlagsFromString('--interrupt-budget=300000');
}
