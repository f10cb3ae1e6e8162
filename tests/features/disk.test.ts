import { describe, expect, test } from 'vitest';
import { Workspace } from '../../server/workspace.ts';

const ENGINE = 'file:///shop/skua.engine.yaml';
const BASE = '/shop/base.engine.yaml';
const CONTROLLER = '/shop/unit.controller.yaml';
const TEXT = 'based_on: ./base.engine.yaml\ncontroller: ./unit.controller.yaml\n';
const bore = (mm: number) => `engine: { bore: ${mm} mm }\n`;

/** A disk that nobody watches. Each write changes the stamp of the file, unless one is given. */
function disk(first: Record<string, string>) {
  const files = new Map<string, { text: string; stamp: string }>();
  const read: string[] = [];
  const looked: string[] = [];
  let writings = 0;
  const write = (path: string, text: string, stamp = String(writings++)) => files.set(path, { text, stamp });
  for (const [path, text] of Object.entries(first)) write(path, text);
  const workspace = new Workspace({
    read(path) {
      read.push(path);
      return files.get(path)?.text;
    },
    list: () => [...files.keys()],
    stamp(path) {
      looked.push(path);
      return files.get(path)?.stamp;
    },
  });
  workspace.setFolders(['file:///shop']);
  const boreOf = (uri = ENGINE) =>
    workspace.analysis(uri)?.installation?.configuration.engine?.bore?.canonical;
  return { files, write, workspace, read, looked, boreOf };
}

describe('a file on disk that nobody tells about', () => {
  test('is read again after it has changed', () => {
    const { write, workspace, boreOf } = disk({ [BASE]: bore(80) });
    workspace.rewrite(ENGINE, [{ text: TEXT }]);
    expect(boreOf()).toBeCloseTo(0.08);
    write(BASE, bore(90));
    expect(workspace.pollDisk()).toEqual([ENGINE]);
    expect(boreOf()).toBeCloseTo(0.09);
    expect(workspace.pollDisk()).toEqual([]);
  });

  test('is missed when it goes, and found when it comes', () => {
    const { files, write, workspace } = disk({ [BASE]: bore(80) });
    workspace.rewrite(ENGINE, [{ text: TEXT }]);
    const missing = () => workspace.analysis(ENGINE)!.subject.links.map(({ rule }) => rule);
    expect(missing()).toEqual(['controller-file-missing']);
    write(CONTROLLER, 'controllerfile: 1\n');
    expect(workspace.pollDisk()).toEqual([ENGINE]);
    expect(missing()).toEqual([]);
    files.delete(BASE);
    expect(workspace.pollDisk()).toEqual([ENGINE]);
    expect(missing()).toEqual(['overlay-file-missing']);
  });

  test('is the same where it only was written again', () => {
    const { write, workspace, read } = disk({ [BASE]: bore(80) });
    workspace.rewrite(ENGINE, [{ text: TEXT }]);
    const before = workspace.analysis(ENGINE);
    write(BASE, bore(80));
    expect(workspace.pollDisk()).toEqual([]);
    expect(workspace.analysis(ENGINE)).toBe(before);
    read.length = 0;
    expect(workspace.pollDisk()).toEqual([]);
    expect(read).toEqual([]);
  });

  test('does not count while a document has its text', () => {
    const { write, workspace, boreOf } = disk({ [BASE]: bore(80) });
    workspace.rewrite(ENGINE, [{ text: TEXT }]);
    workspace.rewrite(`file://${BASE}`, [{ text: bore(85) }]);
    write(BASE, bore(90));
    expect(workspace.pollDisk()).toEqual([]);
    expect(boreOf()).toBeCloseTo(0.085);
    workspace.close(`file://${BASE}`);
    expect(boreOf()).toBeCloseTo(0.09);
  });

  test('is not looked at outside the folders, nor where nothing is known of it any more', () => {
    const { workspace, looked, boreOf } = disk({ [BASE]: bore(80), '/etc/a.engine.yaml': bore(90) });
    workspace.rewrite(ENGINE, [{ text: `${TEXT}engine: { stroke: 50 mm }\n` }]);
    workspace.rewrite('file:///shop/b.engine.yaml', [{ text: 'based_on: ../etc/a.engine.yaml\n' }]);
    boreOf();
    boreOf('file:///shop/b.engine.yaml');
    workspace.pollDisk();
    expect(new Set(looked)).toEqual(new Set([BASE, CONTROLLER]));
    workspace.close(ENGINE);
    looked.length = 0;
    workspace.pollDisk();
    expect(looked).toEqual([]);
  });

  test('has its turn where there are many', () => {
    const base = (i: number) => `/shop/${i}.engine.yaml`;
    const given = disk(Object.fromEntries(Array.from({ length: 250 }, (_, i) => [base(i), bore(80)])));
    const overlay = (i: number) => `file:///shop/over-${i}.engine.yaml`;
    for (let i = 0; i < 250; i++) {
      given.workspace.rewrite(overlay(i), [{ text: `based_on: ./${i}.engine.yaml\n` }]);
      expect(given.boreOf(overlay(i))).toBeCloseTo(0.08);
    }
    given.looked.length = 0;
    given.write(base(249), bore(90));
    let rounds = 0;
    let changed: string[] = [];
    while (changed.length === 0 && rounds++ < 250) changed = given.workspace.pollDisk();
    expect(changed).toEqual([overlay(249)]);
    expect(given.boreOf(overlay(249))).toBeCloseTo(0.09);
    expect(given.looked.length / rounds).toBeLessThanOrEqual(101);
  });
});

test('a list of files is made again after a while, so that a file that comes is found', async () => {
  const { write, workspace } = disk({ [BASE]: bore(80) });
  expect(workspace.paths()).toEqual([BASE]);
  write(CONTROLLER, 'controllerfile: 1\n');
  await expect.poll(() => workspace.paths(), { timeout: 30_000 }).toEqual([BASE, CONTROLLER]);
});
