import { describe, expect, test } from 'vitest';
import { diagnosticsOf } from '../../server/features/diagnostics.ts';
import { plainText } from '../../server/plain-text.ts';
import { plainEditor } from '../features/marked.ts';
import { enginewright } from '../support/command-line.ts';
import { analyseCase, fixtureNames, readFixture, rulesOf } from '../support/fixture.ts';
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

  test('the list of problems in an editor', () => {
    const messages = fixtureNames('checks').flatMap((name) =>
      readFixture(`checks/${name}`).flatMap((one) =>
        diagnosticsOf(analyseCase(one.files, rulesOf(name.replace('.yaml', ''), one)), plainEditor).flatMap(
          ({ message, relatedInformation }) => [
            message,
            ...(relatedInformation ?? []).map((related) => related.message),
          ],
        ),
      ),
    );
    expect(messages.length).toBeGreaterThan(500);
    expect(messages.filter((message) => BACKTICK.test(String(message)))).toEqual([]);
  });
});
