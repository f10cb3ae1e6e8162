import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { enginewright } from '../support/command-line.ts';

const ROOT = new URL('../../', import.meta.url);
const read = (path: string) => readFileSync(new URL(path, ROOT), 'utf8');
const readme = read('README.md');
const TUG = 'samples/dotterel/dotterel-16t.engine.yaml';
const PUMP = 'samples/broken/fuel-pump-without-reserve.engine.yaml';

/** The fenced block of the README that contains this text. */
function block(containing: string): string {
  const blocks = [...readme.matchAll(/^```.*\n([\s\S]*?)^```$/gm)].map(([, body]) => body!);
  return blocks.find((body) => body.includes(containing))!;
}

/** The output of the command when run in the project's folder. */
async function printed(command: string, path: string, ...options: string[]): Promise<string> {
  const { out } = await enginewright(command, fileURLToPath(new URL(path, ROOT)), ...options);
  return out.replaceAll(fileURLToPath(new URL(path, ROOT)), path);
}

/** Without line breaks and columns, which depend on the width and on other values. */
const flowing = (text: string) => text.replace(/\s+/g, ' ').trim();

test('the file that the README shows is an excerpt of the sample', () => {
  const sample = new Set(
    read(TUG)
      .split('\n')
      .map((line) => line.replace(/ #.*/, '').trim()),
  );
  const shown = block('title: Dotterel')
    .split('\n')
    .map((line) => line.trim());
  expect(shown.filter((line) => !sample.has(line))).toEqual([]);
});

test('the finding that the README shows is what the command prints', async () => {
  expect(flowing(await printed('check', PUMP))).toContain(flowing(block(`${PUMP}:`)));
});

test('the derived values that the README shows are what the command prints', async () => {
  const out = flowing(await printed('derive', TUG, '--point', 'take_off'));
  for (const value of block('Operating point take_off').split('\n\n')) expect(out).toContain(flowing(value));
});

test.each(['README.md', 'DEVELOPERS.md'])('every link of %s leads to a file', (page) => {
  const links = [...read(page).matchAll(/\]\(([^)#]+)/g)].map(([, path]) => path!);
  expect(links.filter((path) => !path.startsWith('https:') && !existsSync(new URL(path, ROOT)))).toEqual([]);
});

test('the settings that the README lists are those of the extension, each once and with its default in bold', () => {
  const { properties } = JSON.parse(read('package.json')).contributes.configuration;
  const listed = [...readme.matchAll(/^\| `(enginewright\.[\w.]+)` \| .*\*\*(.+?)\*\*/gm)];
  const described = Object.entries<{ default: unknown }>(properties).map(([name, { default: unset }]) => {
    return `${name} ${typeof unset === 'string' ? unset : JSON.stringify(unset)}`;
  });
  expect(listed.map(([, name, unset]) => `${name} ${unset}`).sort()).toEqual(described.sort());
});

test('the files that the README makes have the current version', () => {
  const { version } = JSON.parse(read('package.json'));
  const named = [...readme.matchAll(/enginewright-([\d.]+)\.(?:vsix|tgz)/g)].map(([, its]) => its);
  expect([...new Set(named)]).toEqual([version]);
});
