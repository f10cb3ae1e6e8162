import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, realpathSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, onTestFinished, test } from 'vitest';
import { enginewright, folderOf } from '../support/command-line.ts';
import { complete } from './pair.ts';
import { CONTROLLER, compared, richer, weaker } from './states.ts';

/** A repository in its own folder, which is the working directory of the command. */
function repository(...commits: readonly Readonly<Record<string, string | null>>[]) {
  const top = realpathSync(folderOf({}));
  const before = process.cwd();
  process.chdir(top);
  onTestFinished(() => process.chdir(before));
  const git = (...args: string[]) =>
    execFileSync(
      'git',
      ['-c', 'user.name=Test', '-c', 'user.email=test@example.org', '-c', 'commit.gpgsign=false', ...args],
      {
        cwd: top,
        encoding: 'utf8',
      },
    ).trim();
  git('init', '-q', '-b', 'main');
  const commit = (files: Readonly<Record<string, string | null>>) => {
    for (const [name, content] of Object.entries(files)) {
      mkdirSync(dirname(join(top, name)), { recursive: true });
      if (content === null) rmSync(join(top, name));
      else writeFileSync(join(top, name), content);
    }
    git('add', '-A');
    git('commit', '-q', '--allow-empty', '-m', 'state');
    return git('rev-parse', 'HEAD');
  };
  return { top, git, commit, hashes: commits.map(commit) };
}

describe('git revisions', () => {
  test('that are not wholly there are not fetched, for the repository says by which program', async () => {
    const { top, git } = repository(
      { ...CONTROLLER, 'x.engine.yaml': complete },
      { 'x.engine.yaml': weaker },
    );
    git('config', 'uploadpack.allowFilter', 'true');
    git('clone', '-q', '--filter=blob:none', `file://${top}`, 'part');
    const part = join(top, 'part');
    const inPart = (...args: string[]) => git('-C', part, ...args);
    inPart('config', 'remote.origin.uploadpack', `touch ${join(top, 'ran')}; git-upload-pack`);
    process.chdir(part);
    const { status, err } = await enginewright('compare', 'HEAD~1..HEAD');
    expect(status).toBe(2);
    expect(err).toContain('HEAD~1:x.engine.yaml was not compared');
    expect(existsSync(join(top, 'ran'))).toBe(false);
    // Git itself would have run it.
    inPart('cat-file', 'blob', 'HEAD~1:x.engine.yaml');
    expect(existsSync(join(top, 'ran'))).toBe(true);
  });

  test('are compared without checking anything out', async () => {
    const { git } = repository({ ...CONTROLLER, 'x.engine.yaml': complete }, { 'x.engine.yaml': weaker });
    writeFileSync('x.engine.yaml', 'half written');
    const before = git('status', '--porcelain');
    const { status, changes, consequences } = await compared('HEAD~1..HEAD');
    expect(status).toBe(1);
    expect(changes).toMatchObject([
      {
        file: 'HEAD:x.engine.yaml',
        path: 'fuel.injectors.static_flow',
        old: '340 cc/min',
        new: '120 cc/min',
      },
    ]);
    expect(consequences).toContainEqual(
      expect.objectContaining({ rule: 'injector-duty-over-100', new: 'open' }),
    );
    expect(git('status', '--porcelain')).toBe(before);
  });

  test('have the base and the controller of their own time', async () => {
    const overlay = 'enginefile: 1\nbased_on: ../base.engine.yaml\nrevision: X\n';
    repository(
      { ...CONTROLLER, 'base.engine.yaml': complete, 'deep/over.engine.yaml': overlay },
      { 'base.engine.yaml': weaker },
    );
    // The base file no longer exists in the working tree.
    rmSync('base.engine.yaml');
    const { changes } = await compared('HEAD~1:deep/over.engine.yaml', 'HEAD:deep/over.engine.yaml');
    expect(changes).toMatchObject([{ path: 'fuel.injectors.static_flow', new: '120 cc/min' }]);
  });

  test('of one file can be held against the working tree', async () => {
    repository({ ...CONTROLLER, 'x.engine.yaml': complete });
    writeFileSync('x.engine.yaml', richer);
    const { changes } = await compared('HEAD:x.engine.yaml', 'x.engine.yaml');
    expect(changes).toMatchObject([{ file: 'x.engine.yaml', path: 'fuel.target_lambda' }]);
  });

  test('take paths that start where the command runs', async () => {
    const { top } = repository(
      { ...CONTROLLER, 'x.engine.yaml': complete, 'deep/y.engine.yaml': complete },
      { 'x.engine.yaml': richer, 'deep/y.engine.yaml': richer },
    );
    expect((await compared('HEAD~1..HEAD')).changes).toHaveLength(2);
    expect((await compared('HEAD~1..', 'deep')).changes).toMatchObject([{ file: 'HEAD:deep/y.engine.yaml' }]);
    process.chdir(join(top, 'deep'));
    expect((await compared('HEAD~1..HEAD', 'y.engine.yaml')).changes).toHaveLength(1);
    expect((await compared('HEAD~1..HEAD', '..')).changes).toHaveLength(2);
    expect((await compared('HEAD~1:./y.engine.yaml', 'HEAD:deep/y.engine.yaml')).changes).toHaveLength(1);
    expect((await compared('HEAD~1:deep', 'HEAD:deep')).changes).toHaveLength(1);
  });

  test('know a renamed file by the lines that it kept', async () => {
    const [overlay, other] = ['X', 'Y'].map(
      (revision) => `enginefile: 1\nbased_on: ./x.engine.yaml\nrevision: ${revision}\n`,
    );
    repository(
      { ...CONTROLLER, 'x.engine.yaml': complete, 'old.engine.yaml': overlay! },
      { 'old.engine.yaml': null, 'new.engine.yaml': overlay! },
      { 'x.engine.yaml': null, 'new.engine.yaml': null, 'y.engine.yaml': richer },
      { 'y.engine.yaml': null, 'z.engine.yaml': other! },
    );
    expect((await compared('HEAD~3..HEAD~2')).changes).toEqual([]);
    expect((await compared('HEAD~2..HEAD~1')).changes).toMatchObject([
      { type: 'removed', file: 'HEAD~2:new.engine.yaml', path: '' },
      { type: 'table', file: 'HEAD~1:y.engine.yaml', path: 'fuel.target_lambda' },
    ]);
    expect((await compared('HEAD~1..HEAD')).changes).toMatchObject([
      { type: 'added', file: 'HEAD:z.engine.yaml' },
      { type: 'removed', file: 'HEAD~1:y.engine.yaml' },
    ]);
  });

  test('with three dots are held against where they parted', async () => {
    const { git, commit } = repository({ ...CONTROLLER, 'x.engine.yaml': complete });
    git('checkout', '-q', '-b', 'work');
    commit({ 'y.engine.yaml': complete });
    git('checkout', '-q', 'main');
    commit({ 'x.engine.yaml': weaker });
    expect((await compared('main...work')).changes).toMatchObject([
      { type: 'added', file: 'work:y.engine.yaml' },
    ]);
    expect((await compared('main..work')).changes).toHaveLength(2);
  });

  test('may have names that look like options, patterns and commands', async () => {
    const name = '$(touch harm) *.engine.yaml';
    const { git } = repository({ ...CONTROLLER, [name]: complete }, { [name]: richer });
    expect((await compared('HEAD~1..HEAD', name)).changes).toHaveLength(1);
    expect(git('status', '--porcelain')).toBe('');
    for (const revision of [
      '--output=harm..HEAD',
      '-p:x.engine.yaml',
      '$(touch harm)..HEAD',
      'nowhere..HEAD',
    ]) {
      const { status, out, err } = await enginewright('compare', '--', revision, revision);
      expect({ status, out }).toEqual({ status: 2, out: '' });
      expect(err).toMatch(/^enginewright: .*\.\n$/);
    }
    expect(git('status', '--porcelain')).toBe('');
  });

  test('that hold a link or a binary file are read all the same', async () => {
    repository({ ...CONTROLLER, 'x.engine.yaml': complete, 'data.engine.yaml': '\0\u0001' });
    symlinkSync('x.engine.yaml', 'link.engine.yaml');
    execFileSync('git', ['add', '-A']);
    execFileSync('git', [
      '-c',
      'user.name=T',
      '-c',
      'user.email=t@example.org',
      'commit',
      '-q',
      '-m',
      'link',
    ]);
    expect((await compared('HEAD~1..HEAD')).changes).toEqual([]);
  });

  test('a revision where there is no repository, and a path that is not in it', async () => {
    repository({ ...CONTROLLER, 'x.engine.yaml': complete });
    const { status, err } = await enginewright('compare', 'HEAD:y.engine.yaml', 'x.engine.yaml');
    expect(status).toBe(2);
    expect(err).toContain('No *.engine.yaml, *.controller.yaml or *.run.yaml files at HEAD:y.engine.yaml.');
    expect((await enginewright('compare', 'HEAD:../x.engine.yaml', 'x.engine.yaml')).err).toContain(
      'is outside the repository',
    );
    process.chdir(folderOf({}));
    expect((await enginewright('compare', 'HEAD..HEAD')).err).toMatch(/git failed: not a git repository/);
  });
});
