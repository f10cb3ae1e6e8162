import { describe, expect, test } from 'vitest';
import { sayings, session } from './session.ts';

const aliases = ['engine:', '  a0: &a0 [x, x, x, x, x, x, x, x, x]'];
for (let i = 1; i < 12; i++) {
  aliases.push(
    `  a${i}: &a${i} [${Array(9)
      .fill(`*a${i - 1}`)
      .join(', ')}]`,
  );
}

/** Each with the message of its rejection. */
const hostile: Record<string, { text: string; says: RegExp }> = {
  'an alias bomb': { text: aliases.join('\n'), says: /aliases expand/ },
  'half a million brackets': { text: `engine: ${'['.repeat(5e5)}`, says: /nested more than 64 levels/ },
  'nearly half a million dashes': {
    text: `engine:\n ${'- '.repeat(4.9e5)}`,
    says: /nested more than 64 levels/,
  },
  'a line of 10 MB': { text: `title: ${'x'.repeat(1e7)}\n`, says: /MB/ },
  'a list of 10 MB in one line': { text: `engine: [${'1, '.repeat(3.4e6)}]\n`, says: /MB/ },
  '10 MB of short lines': { text: 'a: 1\n'.repeat(2e6), says: /MB/ },
  'a tag of another program': { text: 'engine: !!js/function "() => process.exit(1)"\n', says: /Tags/ },
  'a tag of another language': { text: 'engine: !!python/object/apply:os.system ["false"]\n', says: /Tags/ },
};

/** The maximum memory of the server after each, in MB. */
const MOST_MEMORY = 600;

describe('in an open document and in a base of one', () => {
  test.each(Object.entries(hostile))(
    '%s is refused at a place, soon, and the server goes on',
    async (_, { text, says }) => {
      const { client, open, hover } = await session({ 'base.engine.yaml': text });
      const found = await open('a.engine.yaml', text);
      const refusal = found.find(
        ({ code, message }) => code === 'syntax-error' && says.test(String(message)),
      );
      expect(refusal, sayings(found).join('\n')).toBeDefined();
      const lines = text.split('\n');
      expect(refusal!.range.end.line).toBeLessThan(lines.length);
      expect(refusal!.range.end.character).toBeLessThanOrEqual(lines[refusal!.range.end.line]!.length);

      const based = await open('b.engine.yaml', 'based_on: ./base.engine.yaml\nengine: { bore: 80 mm }\n');
      expect(based.length).toBeGreaterThan(0);
      await open('c.engine.yaml', 'engine: { bore: 80 mm }\n');
      expect(await hover('c.engine.yaml', 'bore')).toContain('80 mm');
      expect(client.memory() ?? 0).toBeLessThan(MOST_MEMORY);
    },
  );
});
