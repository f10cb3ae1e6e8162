import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { enginewright, folderOf } from '../support/command-line.ts';
import { freshProgram } from '../support/fresh.mjs';
import { sampleText } from '../support/samples.ts';
import type { Shown } from '../support/shown.ts';

const BASE = 'sanderling-10t.engine.yaml';
const CONTROLLER = 'three-channel.controller.yaml';
const texts: Readonly<Record<string, string>> = {
  [BASE]: sampleText(`sanderling/${BASE}`),
  [CONTROLLER]: sampleText(`sanderling/${CONTROLLER}`),
};
const base = texts[BASE]!;

/** An overlay that replaces one map of the base file, with a few cells of a row changed. */
function overlay(section: string, map: string, row: string, other: string): string {
  const entries = base.split(/^(?=\w)/m).find((one) => one.startsWith(`${section}:`))!;
  const part = entries.split(/^(?= {2}\w)/m).find((one) => one.startsWith(`  ${map}:`))!;
  expect(part).toContain(row);
  return `enginefile: 1\nbased_on: ./${BASE}\n${section}:\n${part.replace(row, other)}`;
}

const filling = (row: string, other: string) => overlay('fuel', 'volumetric_efficiency', row, other);

/**
 * The hints and hovers of each file, which must not depend on the order in which a base file and its overlays are
 * opened.
 */
describe('with a base and three overlays open', () => {
  type Program = typeof import('../support/shown.ts');
  let fresh: () => Program;
  const files: Record<string, string> = {
    ...texts,
    'a.engine.yaml': filling('78.7, 80.2, 81.2, 81.8', '78.7, 80.2, 84.2, 81.8'),
    'b.engine.yaml': filling('83.5, 84.6, 85.2, 85.4', '83.5, 84.6, 85.2, 75.4'),
    'c.engine.yaml': filling('73.0, 75.9, 79.3', '73.0, 85.9, 79.3'),
  };
  const names = Object.keys(files).filter((name) => name !== CONTROLLER);
  let alone: Record<string, Shown>;

  /** Opens files like an editor, which shows the findings of each at once, and hints and hovers on demand. */
  function opened(order: readonly string[]): Record<string, Shown> {
    const program = fresh();
    const workspace = new program.Workspace({ read: (path) => files[path.slice('/i/'.length)] });
    workspace.setFolders(['file:///i']);
    const analyses = order.map((name) => {
      workspace.rewrite(`file:///i/${name}`, [{ text: files[name]! }]);
      return [name, workspace.analysis(`file:///i/${name}`)!] as const;
    });
    return Object.fromEntries(analyses.map(([name, analysis]) => [name, program.hintsAndHovers(analysis)]));
  }

  beforeAll(async () => {
    fresh = await freshProgram('tests/support/shown.ts');
    alone = Object.assign({}, ...names.map((name) => opened([name])));
  });

  test.each(permutations(names).map((order) => [order.join(', '), order] as const))(
    'each shows its own hints and hovers, opened as %s',
    (_, order) => {
      const shown = opened(order);
      for (const name of names) {
        expect(shown[name]!.hints, `hints of ${name}`).toEqual(alone[name]!.hints);
        expect(shown[name]!.hovers, `hovers of ${name}`).toEqual(alone[name]!.hovers);
      }
    },
  );
});

// The controller would read this cell only with a failed sensor.
test('of two folders that differ in one overlay, nothing has moved in the base', async () => {
  const was = filling('73.0, 75.9, 79.3', '73.0, 75.9, 79.3');
  const is = filling('73.0, 75.9, 79.3', '73.0, 75.9, 83.3');
  const folder = folderOf({
    ...Object.fromEntries(
      Object.entries(texts).flatMap(([name, text]) => [
        [`was/${name}`, text],
        [`is/${name}`, text],
      ]),
    ),
    'was/summer.engine.yaml': was,
    'is/summer.engine.yaml': is,
  });
  const { out } = await enginewright('compare', join(folder, 'was'), join(folder, 'is'), '--format', 'json');
  const { changes, consequences } = JSON.parse(out) as Record<string, { readonly file: string }[]>;
  const files = new Set([...changes!, ...consequences!].map(({ file }) => file));
  expect([...files]).toEqual([join(folder, 'is/summer.engine.yaml')]);
});

function permutations<Item>(items: readonly Item[]): Item[][] {
  if (items.length === 0) return [[]];
  return items.flatMap((first) =>
    permutations(items.filter((one) => one !== first)).map((rest) => [first, ...rest]),
  );
}
