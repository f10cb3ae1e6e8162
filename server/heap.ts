import { setFlagsFromString } from 'node:v8';

/**
 * V8 lets what lives on grow to twice its size before it looks for what does not. Nearly all that is known of a file lives
 * on through an edit, so a third more is room enough. The V8 of a desktop editor may be one that ends a program which sets
 * flags so late, so there it is left alone.
 */
export function keepHeapSmall(): void {
  if (!('electron' in process.versions)) setFlagsFromString('--heap-growing-percent=30');
}
