import { execFileSync } from 'node:child_process';
import { chmodSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';

/** The complete installation with injectors of this flow: 340 cc/min is fault-free, 120 cc/min is too little. */
function installation(staticFlow = '340 cc/min') {
  const engine = completeEngine.replace('static_flow: 340 cc/min', `static_flow: ${staticFlow}`);
  return { 'complete.engine.yaml': engine, 'complete.controller.yaml': completeController };
}

interface CheckedJson {
  readonly path: string;
  readonly findings: readonly {
    readonly severity: string;
    readonly message: string;
    readonly range: { readonly start: { readonly line: number } };
  }[];
}

async function checkJson(...args: string[]) {
  const { status, out, err } = await enginewright('check', '--format', 'json', ...args);
  const { files } = JSON.parse(out) as { files: CheckedJson[] };
  return { status, err, files };
}

describe('the exit status', () => {
  test('is 0 for an installation without fault, also where it is worth a remark', async () => {
    const { status, out, err } = await enginewright(
      'check',
      '--fail-on',
      'warning',
      folderOf(installation()),
    );
    expect({ status, err }).toEqual({ status: 0, err: '' });
    expect(out).toContain('2 files checked: ');
    expect(out).not.toMatch(/\d (error|warning)/);
  });

  test('is 1 where there is an error', async () => {
    const { status, out } = await enginewright('check', folderOf(installation('120 cc/min')));
    expect(status).toBe(1);
    expect(out).toContain('error  injector-duty-over-100');
  });

  test('is 1 for a warning only where warnings fail', async () => {
    const folder = folderOf(installation('220 cc/min'));
    const { status, files } = await checkJson(folder);
    const findings = files.flatMap((file) => file.findings);
    const severities = findings.map(({ severity }) => severity);
    expect(severities).toContain('warning');
    expect(severities).not.toContain('error');
    expect(status).toBe(0);
    expect((await enginewright('check', folder, '--fail-on', 'warning')).status).toBe(1);
  });
});

test('the JSON has the shape of the format page', async () => {
  const folder = folderOf(installation('120 cc/min'));
  const path = join(folder, 'complete.engine.yaml');
  const { files } = await checkJson(path);
  expect(files).toHaveLength(1);
  expect(files[0]!.path).toBe(path);
  const line = completeEngine.split('\n').findIndex((text) => text.includes('static_flow'));
  expect(files[0]!.findings).toContainEqual({
    rule: 'injector-duty-over-100',
    severity: 'error',
    message: expect.stringMatching(/%/),
    path: 'fuel.injectors.static_flow',
    range: { start: { line, character: 17 }, end: { line, character: 27 } },
    fixes: expect.any(Array),
    related: expect.any(Array),
  });
});

describe('files', () => {
  test('below a folder are found in order, without those of packages and of the history', async () => {
    const folder = folderOf({
      'b.controller.yaml': completeController,
      'a/z.engine.yaml': completeEngine,
      'other.yaml': 'a: 1',
      'node_modules/p/x.engine.yaml': 'a: 1',
      '.git/x.engine.yaml': 'a: 1',
    });
    symlinkSync(folder, join(folder, 'a', 'circle'));
    const { files } = await checkJson(folder);
    expect(files.map(({ path }) => path)).toEqual([
      join(folder, 'a/z.engine.yaml'),
      join(folder, 'b.controller.yaml'),
    ]);
  });

  test('that are named twice are checked once', async () => {
    const folder = folderOf(installation());
    const { files } = await checkJson(join(folder, 'complete.engine.yaml'), folder);
    expect(files).toHaveLength(2);
  });

  test('keep their columns behind a byte order mark', async () => {
    const engine = installation('120 cc/min')['complete.engine.yaml'];
    const folder = folderOf({
      'x.engine.yaml': `\ufeff${engine}`,
      'complete.controller.yaml': completeController,
    });
    const { out } = await enginewright('check', folder);
    expect(out).toMatch(/x\.engine\.yaml:40:18 {2}error {2}injector-duty-over-100/);
  });

  test('that cannot be read are named, and the others are checked', async () => {
    const folder = folderOf({ ...installation(), 'notes.txt': '', 'empty/notes.txt': '' });
    const missing = join(folder, 'missing.engine.yaml');
    const { status, files, err } = await checkJson(
      folder,
      missing,
      join(folder, 'notes.txt'),
      join(folder, 'empty'),
    );
    expect(status).toBe(2);
    expect(files).toHaveLength(2);
    expect(err.trimEnd().split('\n')).toEqual([
      `enginewright: Cannot read ${missing}: no such file or folder.`,
      expect.stringContaining('notes.txt is not an engine, controller or run file (*.engine.yaml, '),
      expect.stringMatching(
        /empty contains no \*\.engine\.yaml, \*\.controller\.yaml or \*\.run\.yaml files\.$/,
      ),
    ]);
  });

  test('of which none could be read leave an empty report', async () => {
    expect(await checkJson('missing.engine.yaml')).toMatchObject({ status: 2, files: [] });
    expect(await enginewright('check', 'missing.engine.yaml')).toMatchObject({ status: 2, out: '' });
  });

  test('that are no regular files are not opened', async () => {
    const folder = folderOf({});
    execFileSync('mkfifo', [join(folder, 'pipe.engine.yaml')]);
    const { status, err } = await enginewright('check', folder);
    expect(status).toBe(2);
    expect(err).toContain('pipe.engine.yaml: it is not a regular file.');
  });

  // The superuser may read everything.
  test.skipIf(process.getuid?.() === 0)('and folders that the user may not read are named', async () => {
    const folder = folderOf({ ...installation(), 'closed/x.engine.yaml': completeEngine });
    chmodSync(join(folder, 'closed'), 0);
    const { status, err } = await enginewright('check', folder);
    chmodSync(join(folder, 'closed'), 0o700);
    expect(status).toBe(2);
    expect(err).toContain('closed: permission denied.');
  });
});

describe('what is no configuration is refused at a place, without a crash or a hang', () => {
  test.each<[string, string | Uint8Array]>([
    ['a million open brackets', `enginefile: 1\nengine: ${'['.repeat(1e6)}`],
    ['5 MB', `enginefile: 1\n${'# nothing\n'.repeat(5e5)}`],
    ['bytes that are no text', Uint8Array.from({ length: 4096 }, (_, i) => i % 256)],
    ['no YAML', 'enginefile: 1\nengine: {bore: "76 mm\n'],
    ['nothing at all', ''],
    ['a text of another encoding', Buffer.from('enginefile: 1\nengine: { bore: 85 °C }\n', 'latin1')],
    ['an alias that grows without end', bomb()],
  ])('%s', async (_, content) => {
    const { status, files } = await checkJson(folderOf({ 'x.engine.yaml': content }));
    expect(status).toBe(1);
    const [first] = files[0]!.findings.filter(({ severity }) => severity === 'error');
    expect(first!.message).toMatch(/\.$/);
    expect(first!.range.start.line).toBeGreaterThanOrEqual(0);
  });

  test('a text of 30 MB is not even read', async () => {
    const { status, err } = await enginewright('check', folderOf({ 'x.engine.yaml': new Uint8Array(3e7) }));
    expect(status).toBe(2);
    expect(err).toContain('it is 30 MB long, over the limit of 16 MB.');
  });
});

function bomb(): string {
  const names = [...'abcdefghi'];
  const lines = names
    .slice(1)
    .map((name, i) => `${name}: &${name} [${Array(9).fill(`*${names[i]}`).join(', ')}]`);
  return `a: &a [1, 2]\n${lines.join('\n')}\n`;
}
