import { expect, test, vi } from 'vitest';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';

vi.mock('../../shared/analysis.ts', async (original) => {
  const { analyse } = await original<typeof import('../../shared/analysis.ts')>();
  return {
    analyse: (...args: Parameters<typeof analyse>) => {
      if (args[1].endsWith('bad.engine.yaml')) throw new Error('no such valve');
      return analyse(...args);
    },
  };
});

test('a fault of the program in one file is told in a sentence, and the others are checked', async () => {
  const files = {
    'bad.engine.yaml': '',
    'complete.engine.yaml': completeEngine,
    'complete.controller.yaml': completeController,
  };
  const { status, out, err } = await enginewright('check', folderOf(files));
  expect(status).toBe(2);
  expect(out).toContain('2 files checked: ');
  expect(err).toMatch(
    /bad\.engine\.yaml was not checked: internal error \(no such valve\)\. Please report it; your file is not the cause\.\n$/,
  );
});

test('a command that meets such a fault gives the status 2 and no stack', async () => {
  const folder = folderOf({ 'bad.engine.yaml': '' });
  expect(await enginewright('derive', `${folder}/bad.engine.yaml`)).toEqual({
    status: 2,
    out: '',
    err: 'enginewright: internal error (no such valve). Please report it; your file is not the cause.\n',
  });
});
