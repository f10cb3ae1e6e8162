import { test } from 'vitest';
import { COMPLETE_SAMPLES, typeSample } from '../support/typed.ts';

test.each(COMPLETE_SAMPLES)(
  'prefixes of samples/%s are analysed, every few characters',
  { timeout: 600_000 },
  (name) => {
    typeSample(name, name.startsWith('wheatear') ? 7 : 31);
  },
);
