import { sha256 as digest } from '@noble/hashes/sha2.js';
import { UsageError } from './commands/command.ts';
import type { StoredRun } from './runs/run-store.ts';

/** What the server needs of the host that it runs in, in a browser; see `host.ts`. */

/** The data of a run can be far larger than what an editor sends, so there are no runs where there is no disk. */
export const runStore = {
  get: (_: string): Promise<StoredRun> =>
    Promise.reject(
      new UsageError('The data of a run is read from disk. Open the folder in VS Code on the desktop.'),
    ),
  held: (_: string): StoredRun | undefined => undefined,
};

export function sha256(contents: string | Uint8Array): string {
  const bytes = typeof contents === 'string' ? new TextEncoder().encode(contents) : contents;
  return Array.from(digest(bytes), (byte) => byte.toString(16).padStart(2, '0')).join('');
}
