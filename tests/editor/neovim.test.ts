import { spawnSync } from 'node:child_process';
import { chmodSync, cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { buildIfStale } from '../build.mjs';
import { findNeovim } from './neovim.mjs';

const neovim = findNeovim();
const title = neovim
  ? 'the language server in Neovim'
  : 'the language server in Neovim, which is not installed here';

const root = fileURLToPath(new URL('../../', import.meta.url));
const file = 'samples/broken/injectors-too-small.engine.yaml';

/** The configuration that the README gives for Neovim. */
function settingsOfReadme(): string {
  const found = /```lua\n([\s\S]*?)```/.exec(readFileSync(join(root, 'README.md'), 'utf8'))?.[1];
  if (found === undefined) throw new Error('the README has no settings for Neovim');
  return found;
}

/**
 * Opens the file, waits for its findings, hovers over `190 cc/min` and writes down the results. Then opens an overlay
 * without its base file, and creates that on disk like another program.
 */
const session = `
vim.cmd('edit ${file}')
vim.wait(30000, function() return #vim.diagnostic.get(0) > 1 end, 50)
local row = vim.fn.search('190 cc/min')
local hover = vim.lsp.buf_request_sync(0, 'textDocument/hover', {
  textDocument = vim.lsp.util.make_text_document_params(),
  position = { line = row - 1, character = vim.fn.col('.') },
}, 30000)
local _, answer = next(hover or {})
local found = vim.tbl_map(function(one)
  return { line = one.lnum + 1, check = one.code, message = one.message }
end, vim.diagnostic.get(0))
local hovered = answer and answer.result and answer.result.contents.value

local function misses_base()
  for _, one in ipairs(vim.diagnostic.get(0)) do
    if one.code == 'overlay-file-missing' then return true end
  end
  return false
end
vim.cmd('edit overlay.engine.yaml')
vim.wait(30000, misses_base, 50)
local missed = misses_base()
vim.fn.writefile({ 'enginefile: 1', 'engine: { bore: 80 mm }' }, 'base.engine.yaml')
vim.wait(30000, function() return not misses_base() end, 50)
local seen = { found = found, row = row, hovered = hovered or '', missed = { missed, misses_base() } }
vim.fn.writefile({ vim.fn.json_encode(seen) }, 'seen.json')
vim.cmd('qa!')
`;

interface Seen {
  readonly found: readonly { line: number; check: string; message: string }[];
  readonly row: number;
  readonly hovered: string;
  /** Whether the overlay has a finding about its missing base file, before that exists and afterwards. */
  readonly missed: readonly [boolean, boolean];
}

describe.skipIf(neovim === undefined)(title, () => {
  let folder: string;
  let seen: Seen;

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'enginewright-neovim-'));
    const program = join(folder, 'programs/enginewright');
    mkdirSync(join(folder, 'programs'));
    writeFileSync(program, `#!/bin/sh\nexec "${process.execPath}" "${buildIfStale()}" "$@"\n`);
    chmodSync(program, 0o755);
    cpSync(join(root, 'samples'), join(folder, 'samples'), { recursive: true });
    writeFileSync(join(folder, 'overlay.engine.yaml'), 'enginefile: 1\nbased_on: ./base.engine.yaml\n');
    writeFileSync(join(folder, 'init.lua'), settingsOfReadme());
    writeFileSync(join(folder, 'session.lua'), session);
    const { stderr, error } = spawnSync(
      neovim!,
      ['--headless', '-u', 'init.lua', '-c', 'luafile session.lua'],
      {
        cwd: folder,
        encoding: 'utf8',
        timeout: 90_000,
        env: {
          ...process.env,
          PATH: `${join(folder, 'programs')}${delimiter}${process.env.PATH}`,
          XDG_STATE_HOME: folder,
          XDG_CACHE_HOME: folder,
        },
      },
    );
    if (error) throw new Error(`Neovim did not come to its end: ${error.message}\n${stderr}`);
    seen = JSON.parse(readFileSync(join(folder, 'seen.json'), 'utf8'));
  });

  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test('shows the findings of a file with their checks', () => {
    const checks = seen.found.map(({ check }) => check).sort();
    expect(checks).toEqual(['injector-duty-at-fault-pressure', 'injector-duty-over-100']);
    const duty = seen.found.find(({ check }) => check === 'injector-duty-over-100');
    expect(duty).toMatchObject({
      line: seen.row,
      message: expect.stringMatching(/^The injectors need \d+ % duty/),
    });
  });

  test('sees a base file that another program puts on disk', () => {
    expect(seen.missed).toEqual([true, false]);
  });

  test('explains the value under the cursor with its formula', () => {
    expect(seen.hovered).toContain('Injector flow at rail pressure');
    expect(seen.hovered).toMatch(/= 190 cc\/min · √/);
  });
});
