import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { describe, expect, test } from 'vitest';
import { lensesIn } from '../../server/features/code-lenses.ts';
import { diagnosticsOf } from '../../server/features/diagnostics.ts';
import { inlayHintsIn } from '../../server/features/inlay-hints.ts';
import { workspaceReport } from '../../server/features/pull-diagnostics.ts';
import { referencesAt } from '../../server/features/references.ts';
import { CommittedStates, reviewOf } from '../../server/features/review.ts';
import { Workspace } from '../../server/workspace.ts';
import { randomOf } from '../fuzz/random.mjs';
import { editor, wholeText } from './marked.ts';

const path = (name: string) => `/shop/${name}`;
const uri = (name: string) => `file:///shop/${name}`;

const ENGINE = `engine: { cylinders: 4, cycle: four-stroke, bore: 84 mm, stroke: 79 mm }
fuel: { rail: { pressure: 3 bar, pump_flow: 110 L/h } }
sensors:
  oil: { measures: oil_pressure, kind: linear, pin: A1, scaling: { 0 V: 0 bar gauge, 5 V: 10 bar gauge } }
`;
const FAMILY: Readonly<Record<string, string>> = {
  'base.engine.yaml': `enginefile: 1\ncontroller: ./unit.controller.yaml\n${ENGINE}`,
  'over.engine.yaml': 'enginefile: 1\nbased_on: ./base.engine.yaml\nengine: { bore: 80 mm }\n',
  'top.engine.yaml': 'enginefile: 1\nbased_on: ./over.engine.yaml\nengine: { stroke: 70 mm }\n',
  'other.engine.yaml': `enginefile: 1\ncontroller: ./unit.controller.yaml\n${ENGINE.replace('84', '90')}`,
  'unit.controller.yaml':
    'controllerfile: 1\npins:\n  A1: { role: analog-input }\n  A2: { role: relay-driver }\n',
};
const NAMES = Object.keys(FAMILY);

/** What an editor shows of an open document. */
function shown(workspace: Workspace, name: string): string {
  const analysis = workspace.analysis(uri(name))!;
  const own = { ...editor, uriOf: (one: string) => workspace.uriOf(one) };
  const places = [...analysis.file.text.matchAll(/oil|A1/g)].map(({ index }) =>
    analysis.file.lines.position(index),
  );
  const context = { includeDeclaration: true };
  return JSON.stringify({
    findings: diagnosticsOf(analysis, own),
    hints: inlayHintsIn(analysis, { range: wholeText }, own),
    lenses: lensesIn(analysis, own, workspace).map(({ range, command }) => [range, command()]),
    references: places.map((position) => referencesAt(analysis, { position, context }, own, workspace)),
  });
}

/** A workspace with a family of files, which are written, opened, edited and closed at random. */
function family(limits: { parsed?: number; analysed?: number }, seed: number) {
  const random = randomOf(seed);
  const files = new Map(Object.entries(FAMILY).map(([name, text]) => [path(name), text]));
  const open = new Map<string, string>();
  const disk = {
    read: (one: string) => files.get(one),
    list: () => [...files.keys()].sort(),
    stamp: (one: string) => files.get(one),
  };
  const workspaceOf = (own?: typeof limits) => {
    const workspace = new Workspace(disk, own);
    workspace.setFolders(['file:///shop']);
    return workspace;
  };
  const workspace = workspaceOf(limits);
  const varied = (text: string) => text.replace(/\d(?=\d mm)/, () => String(6 + random.below(3)));
  const steps = {
    open(name: string) {
      const text = varied(FAMILY[name]!);
      workspace.rewrite(uri(name), [{ text }]);
      open.set(name, text);
    },
    edit(name: string) {
      const text = open.get(name);
      const at = text?.search(/\d mm/) ?? -1;
      if (text === undefined || at < 0) return;
      const digit = String(random.below(10));
      const [start, end] = [at, at + 1].map((offset) => {
        const lines = text.slice(0, offset).split('\n');
        return { line: lines.length - 1, character: lines.at(-1)!.length };
      });
      workspace.rewrite(uri(name), [{ range: { start: start!, end: end! }, text: digit }]);
      open.set(name, text.slice(0, at) + digit + text.slice(at + 1));
    },
    close(name: string) {
      workspace.close(uri(name));
      open.delete(name);
    },
    write(name: string) {
      const isNew = !files.has(path(name));
      files.set(path(name), varied(FAMILY[name]!));
      if (isNew || random.below(2) === 0) workspace.touched(uri(name));
      else while (workspace.pollDisk().length > 0);
    },
    remove(name: string) {
      if (!files.delete(path(name))) return;
      workspace.touched(uri(name), true);
    },
    ask(name: string) {
      workspace.analysisOf(path(name));
    },
  };
  const step = () => {
    const name = random.pick(Object.keys(steps)) as keyof typeof steps;
    steps[name](random.pick(NAMES));
  };
  const fresh = () => {
    const workspace = workspaceOf();
    // In the order of the other list.
    for (const [name, text] of open) workspace.rewrite(uri(name), [{ text }]);
    return workspace;
  };
  return { workspace, open, step, fresh };
}

describe('what was evicted is made again, with the same result', () => {
  test.each([
    ['nothing is kept but the last', { parsed: 0, analysed: 0 }],
    ['few trees are kept', { parsed: 3000, analysed: 1_000_000 }],
    ['few analyses are kept', { parsed: 1_000_000, analysed: 12_000 }],
    ['all is kept', {}],
  ])('where %s', (_, limits) => {
    for (let seed = 1; seed <= 6; seed++) {
      const { workspace, open, step, fresh } = family(limits, seed);
      for (let burst = 0; burst < 12; burst++) {
        for (let i = 0; i < 6; i++) step();
        const other = fresh();
        for (const name of open.keys()) {
          expect(shown(workspace, name), `${name}, seed ${seed}, burst ${burst}`).toBe(shown(other, name));
        }
      }
    }
  });
});

test('that nothing has changed is said without reading or analysing anything again', () => {
  const read: string[] = [];
  const disk = {
    read(one: string) {
      read.push(one);
      return FAMILY[one.replace('/shop/', '')];
    },
    list: () => NAMES.map(path),
  };
  const workspace = new Workspace(disk, { parsed: 0, analysed: 0 });
  workspace.setFolders(['file:///shop']);
  const reports = (previousResultIds: { uri: string; value: string }[]) =>
    workspace.paths().flatMap((one) => workspaceReport(one, { previousResultIds }, editor, workspace));
  const first = reports([]);
  expect(first.map(({ kind }) => kind)).toEqual(NAMES.map(() => 'full'));
  read.length = 0;
  const again = reports(first.map(({ uri, resultId }) => ({ uri, value: resultId! })));
  expect(again.map(({ kind }) => kind)).toEqual(NAMES.map(() => 'unchanged'));
  expect(read).toEqual([]);
});

test('nothing is left of a document that was closed, nor of what was read for it alone', async () => {
  const workspace = new Workspace({ read: (one) => FAMILY[one.replace('/shop/', '')] });
  const opened = (name: string) => {
    workspace.rewrite(uri(name), [{ text: FAMILY[name]! }]);
    const analysis = workspace.analysis(uri(name))!;
    lensesIn(analysis, editor, workspace);
    const committed = analysis.files.map((file) => ({
      uri: editor.uriOf(file.path),
      state: 'committed' as const,
      text: file.text,
    }));
    expect(
      reviewOf(analysis, { textDocument: { uri: uri(name) }, committed }, editor, workspace, states).review,
    ).not.toBeNull();
    return [analysis, ...analysis.files].map((one) => new WeakRef<object>(one));
  };
  const states = new CommittedStates();
  const remaining = opened('other.engine.yaml');
  const closed = opened('top.engine.yaml');
  workspace.rewrite(uri('top.engine.yaml'), [{ text: FAMILY['over.engine.yaml']! }]);
  workspace.close(uri('top.engine.yaml'));
  await new Promise((resolve) => setImmediate(resolve));
  setFlagsFromString('--expose-gc');
  runInNewContext('gc')();
  const alive = (refs: readonly WeakRef<object>[]) => refs.map((ref) => ref.deref() !== undefined);
  // The other engine uses the same controller file.
  expect(alive(closed)).toEqual([false, false, false, false, true]);
  expect(alive(remaining)).toEqual([true, true, true]);
});
