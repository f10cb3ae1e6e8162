import { readFileSync } from 'node:fs';
import { expect } from 'vitest';
import { type Analysis, analyseBriefly } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { verifyCaches } from '../../shared/memo.ts';
import { SAMPLES } from './samples.ts';

export const COMPLETE_SAMPLES = [
  'wheatear/wheatear-10',
  'dotterel/dotterel-16t',
  'sanderling/sanderling-10t',
];

/** Verify mode takes as long as about twenty analyses. */
const VERIFIED = 20;

/**
 * Analyses a sample as somebody types it, STEP characters at a time. Every twentieth analysis runs in verify mode, in which
 * a stale result throws.
 */
export function typeSample(name: string, step: number): void {
  const text = readFileSync(`${SAMPLES}${name}.engine.yaml`, 'utf8');
  const path = '/installation/typed.engine.yaml';
  const live = createProject((asked) => (asked === path ? '' : undefined));
  let last: Analysis | undefined;
  try {
    for (let end = 0; end <= text.length; end += step) {
      verifyCaches(end % (VERIFIED * step) === 0);
      live.rewrite(path, [{ text: text.slice(0, end) }]);
      last = analyseBriefly(live, path, last);
      expect(last?.findings).toBeInstanceOf(Array);
    }
  } finally {
    verifyCaches(process.env.ENGINEWRIGHT_VERIFY === '1');
  }
  expect(last!.derivation!.points.length).toBeGreaterThan(1);
}
