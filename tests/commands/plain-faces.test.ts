import { describe, expect, test } from 'vitest';
import { plainText } from '../../server/plain-text.ts';
import { enginewright } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';

/** Backticks may remain only in text from a file, such as a title with one. */
const BACKTICK = /`/;

test('names between backticks come between single quotes, and one backtick alone stays', () => {
  expect(plainText('`oil_hot` has no `hysteresis`.')).toBe("'oil_hot' has no 'hysteresis'.");
  expect(plainText('a ` alone')).toBe('a ` alone');
});

describe('faces that cannot show code print no backticks', () => {
  test.each(['text', 'json', 'junit', 'github'])('check as %s', async (format) => {
    const { out } = await enginewright('check', `${SAMPLES}broken`, '--format', format);
    expect(out.length).toBeGreaterThan(1000);
    expect(out.split('\n').filter((line) => BACKTICK.test(line))).toEqual([]);
  });
});
