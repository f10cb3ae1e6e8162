import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { FileChecker } from '../../server/commands/check-files.ts';
import { projectPath } from '../../server/files.ts';
import { completeController, completeEngine, folderOf } from '../support/command-line.ts';

test('a controller that file after file names is read once, but not more than some are kept', () => {
  const numbers = Array.from({ length: 17 }, (_, i) => i);
  const longController = completeController + '# a note\n'.repeat(10_000);
  const engine = (i: number) => completeEngine.replace('complete.controller.yaml', `c${i}.controller.yaml`);
  const folder = folderOf({
    ...Object.fromEntries(numbers.map((i) => [`c${i}.controller.yaml`, longController])),
    ...Object.fromEntries(numbers.map((i) => [`e${i}.engine.yaml`, engine(i)])),
  });
  const checker = new FileChecker([folder]);
  const rulesOf = (i: number) => {
    const checked = checker.check(projectPath(join(folder, `e${i}.engine.yaml`)));
    return typeof checked === 'string' ? checked : checked.findings.map(({ rule }) => rule);
  };
  for (const i of numbers) expect(rulesOf(i)).not.toContain('controller-file-missing');
  for (const i of numbers) rmSync(join(folder, `c${i}.controller.yaml`));
  expect(rulesOf(16)).not.toContain('controller-file-missing');
  expect(rulesOf(0)).toContain('controller-file-missing');
});
