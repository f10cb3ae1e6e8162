import { createHash } from 'node:crypto';

/** What the server needs of the host that it runs in. In a browser, `host-browser.ts` takes the place of this file (`package.json`, `imports`). */
export { runStore } from './runs/run-store.ts';

export const sha256 = (contents: string | Uint8Array): string =>
  createHash('sha256').update(contents).digest('hex');
