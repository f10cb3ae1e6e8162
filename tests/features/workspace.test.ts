import { readFileSync } from 'node:fs';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { describe, expect, onTestFinished, test } from 'vitest';
import { Workspace } from '../../server/workspace.ts';
import { allValues } from '../../shared/derived/registry.ts';

const COMPLETE = readFileSync(new URL('../fixtures/complete.engine.yaml', import.meta.url), 'utf8');
const ENGINE = 'file:///shop/skua.engine.yaml';
const BASE = 'file:///shop/base.engine.yaml';
const CONTROLLER = 'file:///shop/unit.controller.yaml';
const TEXT = 'based_on: ./base.engine.yaml\ncontroller: ./unit.controller.yaml\n';

/** A disk whose files a test can change, and the paths that were requested. */
function disk(files: Record<string, string> = {}) {
  const asked: string[] = [];
  const read = (path: string) => {
    asked.push(path);
    return files[path];
  };
  return { files, asked, workspace: new Workspace({ read }) };
}

const boreOf = (workspace: Workspace): number | undefined =>
  workspace.analysis(ENGINE)?.installation?.configuration.engine?.bore?.canonical;

describe('a workspace', () => {
  test('searches on while the disk is polled and nothing has changed', async () => {
    const { workspace } = disk({ '/shop/unit.controller.yaml': '' });
    workspace.rewrite(ENGINE, [{ text: COMPLETE }]);
    workspace.proofs.changed([ENGINE]);
    const polling = setInterval(() => workspace.proofs.changed(workspace.pollDisk()), 10);
    onTestFinished(() => clearInterval(polling));
    await expect.poll(() => workspace.isComplete('/shop/skua.engine.yaml'), { timeout: 10_000 }).toBe(true);
  });

  test('completes the findings of a closed file, though another file is analysed during the search', async () => {
    const tight = 'based_on: ./base.engine.yaml\nfuel: { injectors: { maximum_duty: 55 % } }\n';
    const [path, other] = ['/shop/a.engine.yaml', '/shop/b.engine.yaml'];
    const { workspace } = disk({ '/shop/base.engine.yaml': COMPLETE, [path]: tight, [other]: tight });
    const completed = workspace.proofs.complete(path);
    // Of the files that are not open, only the last analysis is kept.
    workspace.analysisOf(other);
    expect(await completed).toBe(true);
    expect(workspace.isComplete(path)).toBe(true);
    expect(workspace.analysisOf(path)!.findings.map(({ rule }) => rule)).toContain('injector-duty-high');
  });

  test('puts the texts of the editor before those on disk', () => {
    const { workspace } = disk({ '/shop/base.engine.yaml': 'engine: { bore: 80 mm }\n' });
    workspace.rewrite(ENGINE, [{ text: TEXT }]);
    expect(boreOf(workspace)).toBeCloseTo(0.08);
    expect(workspace.rewrite(BASE, [{ text: 'engine: { bore: 90 mm }\n' }])).toEqual(
      expect.arrayContaining([ENGINE, BASE]),
    );
    expect(boreOf(workspace)).toBeCloseTo(0.09);
    expect(workspace.close(BASE)).toEqual([ENGINE]);
    expect(boreOf(workspace)).toBeCloseTo(0.08);
  });

  test('looks again at what depends on a file that changes, appears or goes', () => {
    const { files, workspace } = disk();
    workspace.rewrite(ENGINE, [{ text: TEXT }]);
    expect(workspace.analysis(ENGINE)!.subject.links).toHaveLength(2);
    files['/shop/unit.controller.yaml'] = 'controllerfile: 1\n';
    expect(workspace.touched(CONTROLLER)).toEqual([ENGINE]);
    expect(workspace.analysis(ENGINE)!.subject.links.map(({ rule }) => rule)).toEqual([
      'overlay-file-missing',
    ]);
    delete files['/shop/unit.controller.yaml'];
    workspace.touched(CONTROLLER);
    expect(workspace.analysis(ENGINE)!.subject.links).toHaveLength(2);
  });

  test('keeps what does not depend on the change', () => {
    const { workspace } = disk();
    workspace.rewrite(ENGINE, [{ text: 'engine: { bore: 80 mm }\n' }]);
    const before = workspace.analysis(ENGINE);
    expect(workspace.touched(CONTROLLER)).toEqual([]);
    expect(workspace.analysis(ENGINE)).toBe(before);
  });

  test('reads in its folders only, whatever a configuration names', () => {
    const { asked, workspace } = disk({ '/etc/other.engine.yaml': 'engine: { bore: 80 mm }\n' });
    workspace.setFolders(['file:///shop']);
    workspace.rewrite(ENGINE, [{ text: 'based_on: ../etc/other.engine.yaml\n' }]);
    expect(workspace.analysis(ENGINE)!.subject.links.map(({ rule }) => rule)).toEqual([
      'overlay-file-missing',
    ]);
    expect(asked).toEqual([]);
    expect(workspace.setFolders(['file:///shop', 'file:///etc'])).toEqual([ENGINE]);
    expect(boreOf(workspace)).toBeCloseTo(0.08);
  });

  test.each([
    ['nothing', []],
    ['the file that it leads to', ['base']],
    ['another file beside that', ['other']],
    ['both', ['other', 'base']],
  ])('without a folder a document leads no farther than its own, before and after opening %s', (_, names) => {
    const { workspace } = disk({ '/else/base.engine.yaml': 'engine: { bore: 80 mm }\n' });
    const openOthers = () => {
      for (const name of names)
        workspace.rewrite(`file:///else/${name}.engine.yaml`, [{ text: 'engine: { bore: 90 mm }\n' }]);
    };
    const refusals = () => workspace.analysis(ENGINE)!.subject.links.map(({ refusal }) => refusal);
    const refused = [expect.stringContaining('is outside the folder of this document')];
    openOthers();
    workspace.rewrite(ENGINE, [{ text: 'based_on: ../else/base.engine.yaml\n' }]);
    expect(refusals()).toEqual(refused);
    for (const name of names) workspace.close(`file:///else/${name}.engine.yaml`);
    expect(refusals()).toEqual(refused);
    openOthers();
    expect(refusals()).toEqual(refused);
    expect(boreOf(workspace)).toBeUndefined();
  });

  test('does not lead out of its folders to a file that is open', () => {
    const { workspace } = disk();
    workspace.setFolders(['file:///shop']);
    workspace.rewrite('file:///else/base.engine.yaml', [{ text: 'engine: { bore: 80 mm }\n' }]);
    workspace.rewrite(ENGINE, [{ text: 'based_on: ../else/base.engine.yaml\n' }]);
    expect(boreOf(workspace)).toBeUndefined();
    expect(workspace.analysis('file:///else/base.engine.yaml')!.findings).not.toEqual([]);
  });

  test('reads beside the open document where no folder is open', () => {
    const { workspace } = disk({ '/shop/base.engine.yaml': 'engine: { bore: 80 mm }\n' });
    workspace.rewrite(ENGINE, [{ text: TEXT }]);
    expect(boreOf(workspace)).toBeCloseTo(0.08);
  });

  test('knows nothing of other documents', () => {
    const { workspace } = disk();
    expect(workspace.rewrite('file:///shop/compose.yaml', [{ text: 'services: {}\n' }])).toEqual([]);
    expect(workspace.analysis('file:///shop/compose.yaml')).toBeUndefined();
    expect(workspace.analysis(ENGINE)).toBeUndefined();
  });

  test('gives the engines that read a file in one order, whichever were opened first, closed and opened again', () => {
    const paths = ['/shop/a.engine.yaml', '/shop/b.engine.yaml', '/shop/c.engine.yaml'];
    const text = 'based_on: ./base.engine.yaml\n';
    const read = (path: string) => (paths.includes(path) ? text : '');
    const workspace = new Workspace({ read, list: () => paths.slice(0, 2) });
    workspace.setFolders(['file:///shop']);
    const given = () => workspace.enginesWith('/shop/base.engine.yaml');
    expect(given()).toEqual(paths.slice(0, 2));
    for (const path of paths.toReversed()) {
      workspace.rewrite(`file://${path}`, [{ text }]);
      expect(given()).toEqual(paths);
    }
    workspace.close(`file://${paths[0]}`);
    workspace.rewrite(`file://${paths[0]}`, [{ text }]);
    expect(given()).toEqual(paths);
  });

  test('keeps nothing of a document that was closed', async () => {
    setFlagsFromString('--expose-gc');
    const gc = runInNewContext('gc') as () => void;
    const { workspace } = disk();
    const opened = () => {
      workspace.rewrite(ENGINE, [{ text: COMPLETE }]);
      const analysis = workspace.analysis(ENGINE)!;
      expect(allValues(analysis.derivation!).length).toBeGreaterThan(100);
      const section = analysis.installation!.configuration.fuel!;
      return [analysis, analysis.file, analysis.derivation!, section].map((one: object) => new WeakRef(one));
    };
    const seen = opened();
    workspace.close(ENGINE);
    workspace.rewrite('file:///shop/next.engine.yaml', [{ text: 'engine: {}\n' }]);
    workspace.analysis('file:///shop/next.engine.yaml');
    await new Promise((resolve) => setTimeout(resolve));
    gc();
    expect(seen.map((one) => one.deref() === undefined)).toEqual([true, true, true, true]);
  });

  test('takes documents that are on no disk', () => {
    const { workspace } = disk();
    const address = 'vscode-vfs://github/shop/my%20engine.engine.yaml';
    workspace.rewrite(address, [{ text: 'engine: { bore: 80 mm }\n' }]);
    const analysis = workspace.analysis(address)!;
    expect(workspace.uriOf(analysis.file.path)).toBe(address);
  });

  test('gives back the address of a document as the editor writes it', () => {
    const { workspace } = disk();
    const address = 'file:///shop/%C3%A9tude%20%231.engine.yaml';
    workspace.rewrite(address, [{ text: 'engine: {}\n' }]);
    const { file } = workspace.analysis(address)!;
    expect(file.path).toBe('/shop/étude #1.engine.yaml');
    expect(workspace.uriOf(file.path)).toBe(address);
    expect(workspace.uriOf('/shop/other file.yaml')).toBe('file:///shop/other%20file.yaml');
  });
});
