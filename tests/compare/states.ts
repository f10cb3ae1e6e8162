import { join } from 'node:path';
import { expect } from 'vitest';
import { enginewright, folderOf } from '../support/command-line.ts';
import { complete, completeController, edited } from './pair.ts';

export const CONTROLLER = { 'complete.controller.yaml': completeController };
/** Injectors far too small: an error. */
export const weaker = edited(complete, [['static_flow: 340 cc/min', 'static_flow: 120 cc/min']]);
/** Two cells of the mixture map differ; no findings. */
export const richer = edited(complete, [['[0.86, 0.84, 0.80]', '[0.85, 0.84, 0.79]']]);

interface Printed {
  readonly changes: readonly {
    file: string;
    type: string;
    path: string;
    text: string;
    [key: string]: unknown;
  }[];
  readonly consequences: readonly { type: string; [key: string]: unknown }[];
}

/** The JSON output of `compare`, with its exit status. */
export async function compared(...args: string[]): Promise<Printed & { status: number | undefined }> {
  const { status, out, err } = await enginewright('compare', ...args, '--format', 'json');
  expect(err).toBe('');
  return { status, ...JSON.parse(out) };
}

/** An old and a new file side by side, with the controller file that they name. */
export function twoStates(was: string, is: string): [string, string] {
  const folder = folderOf({ ...CONTROLLER, 'was.engine.yaml': was, 'is.engine.yaml': is });
  return [join(folder, 'was.engine.yaml'), join(folder, 'is.engine.yaml')];
}
