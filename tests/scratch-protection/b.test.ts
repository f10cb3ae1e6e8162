import { test } from 'vitest';
import { families } from '../../shared/checks/registry.ts';
test('b', () => { for (const f of families) for (const c of f.checks) if (typeof c?.find !== 'function') console.log(f.id, Object.keys(c ?? {}), String(c).slice(0, 100)); });
