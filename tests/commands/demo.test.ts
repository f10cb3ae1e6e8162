import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

test('the demo shows a clean installation, its values with formulas, and a fault with its reason', () => {
  const demo = fileURLToPath(new URL('../../samples/demo.mjs', import.meta.url));
  const { status, stdout, stderr } = spawnSync(process.execPath, [demo], { encoding: 'utf8' });
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  expect(stdout).toContain('no error and no warning');
  expect(stdout).toMatch(/ {2}Injector duty +\d.* %.*\n {4}D = t_i · k \/ t_c\n/);
  expect(stdout).toMatch(/injectors-too-small\.engine\.yaml:\d+:\d+ {2}error {2}injector-duty-over-100\n/);
  expect(stdout).toContain('Why it matters');
}, 60_000);
