import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { WorkspaceEdit } from 'vscode-languageserver/node';
import { renameAt, renameableAt } from '../../server/features/rename.ts';
import type { Workspace } from '../../server/workspace.ts';
import { isSameThing, namesIn } from '../../shared/configuration/names.ts';
import { offsetsOf, readSource } from '../../shared/source/source-file.ts';
import { plainValue } from '../../shared/source/tree.ts';
import { edited, editor } from './marked.ts';
import { type Shop, shop, workspaceOf } from './shop.ts';

/** The fixture after renaming the name at the cursor. */
function renamed(fixture: string, newName: string): string {
  const given = shop(fixture);
  const { analysis, position, workspace } = given;
  return applied(given, renameAt(analysis, { position, newName }, editor, workspace));
}

function applied({ texts }: Pick<Shop, 'texts'>, edit: WorkspaceEdit | null): string {
  return [...texts]
    .map(([name, text]) => {
      const edits = edit?.changes?.[`file:///shop/${name}`] ?? [];
      return `#-- ${name}\n${edited({ file: readSource(name, text) }, edits)}`;
    })
    .join('');
}

describe('renaming', () => {
  test('a sensor changes its declarations and uses in base and overlays, quotes and comments kept', () => {
    expect(
      renamed(
        `#-- base.engine.yaml
sensors:
  wi$0de: { measures: lambda } # the wide one
#-- tug.engine.yaml
based_on: ./base.engine.yaml
sensors: { "wide": { range: 0.65..1.30 } }
closed_loop: { lambda: { sensor: 'wide' } }
`,
        'oxygen',
      ),
    ).toBe(`#-- base.engine.yaml
sensors:
  oxygen: { measures: lambda } # the wide one
#-- tug.engine.yaml
based_on: ./base.engine.yaml
sensors: { "oxygen": { range: 0.65..1.30 } }
closed_loop: { lambda: { sensor: 'oxygen' } }
`);
  });

  test('a pin changes the controller file and every engine on it', () => {
    expect(
      renamed(
        `#-- unit.controller.yaml
pins: { C9: { role: servo-driver }, C10: { role: servo-driver } }
#-- tug.engine.yaml
controller: ./unit.controller.yaml
outputs: { wastegate: { pins: [C$09, C10] } }
`,
        'D1',
      ),
    ).toBe(`#-- unit.controller.yaml
pins: { D1: { role: servo-driver }, C10: { role: servo-driver } }
#-- tug.engine.yaml
controller: ./unit.controller.yaml
outputs: { wastegate: { pins: [D1, C10] } }
`);
  });

  test('a limit changes the path under which a controller stores it', () => {
    expect(
      renamed(
        `#-- unit.controller.yaml
storage: { fields: { protection.overspeed.hysteresis: { at: 0x10 } } }
#-- tug.engine.yaml
controller: ./unit.controller.yaml
protection: { over$0speed: { watches: engine_speed } }
`,
        'too_fast',
      ),
    ).toContain('protection.too_fast.hysteresis');
  });

  test('a signal changes in its message alone, and only to a quantity', () => {
    const fixture = `#-- tug.engine.yaml
bus:
  messages:
    one: { signals: { oil$0_pressure: { start_bit: 0 } } }
    two: { signals: { oil_pressure: { start_bit: 0 } } }
`;
    expect(renamed(fixture, 'fuel_pressure')).toContain(`one: { signals: { fuel_pressure: { start_bit: 0 } } }
    two: { signals: { oil_pressure:`);
    expect(() => renamed(fixture, 'oil')).toThrow("'oil' is not a quantity");
  });

  test.each(['', 'two words', '7', 'true', 'Null', 'a: b', '- a', '#a', 'ä'])(
    'refuses the name %j',
    (name) => {
      expect(() => renamed('#-- tug.engine.yaml\nsensors: { wi$0de: {} }\n', name)).toThrow(
        'must consist of letters',
      );
    },
  );

  test('refuses a name that is taken, in any file that speaks of the thing', () => {
    const fixture = `#-- base.engine.yaml
sensors: { wi$0de: {} }
#-- tug.engine.yaml
based_on: ./base.engine.yaml
sensors: { oxygen: {} }
closed_loop: { lambda: { sensor: wide } }
`;
    expect(() => renamed(fixture, 'oxygen')).toThrow("A sensor named 'oxygen' already exists.");
  });

  test('is offered on names alone, with the present name', () => {
    const { analysis, position } = shop('#-- tug.engine.yaml\nsensors: { "wi$0de": {} }\n');
    expect(renameableAt(analysis, { position })).toEqual({
      range: { start: { line: 0, character: 12 }, end: { line: 0, character: 16 } },
      placeholder: 'wide',
    });
    const quantity = shop('#-- tug.engine.yaml\nprotection: { hot: { watches: oil_$0pressure } }\n');
    expect(renameableAt(quantity.analysis, { position: quantity.position })).toBeNull();
  });
});

const complete = new Map(
  ['complete.engine.yaml', 'complete.controller.yaml'].map((name) => [
    name,
    readFileSync(new URL(`../fixtures/${name}`, import.meta.url), 'utf8'),
  ]),
);

/** The values of a text, with every key step and every value of one name replaced by another. */
function saying(text: string, from: string, to: string): unknown {
  const swap = (word: string) => (word === from ? to : word);
  const visit = (value: unknown): unknown => {
    if (typeof value === 'string') return swap(value);
    if (Array.isArray(value)) return value.map(visit);
    if (typeof value !== 'object' || value === null) return value;
    return Object.fromEntries(
      Object.entries(value).map(([key, one]) => [key.split('.').map(swap).join('.'), visit(one)]),
    );
  };
  return visit(plainValue(readSource('any.engine.yaml', text).root));
}

describe('renaming anything in the complete installation', () => {
  const declared = [...complete].flatMap(([name, text]) => {
    const file = readSource(`/shop/${name}`, text);
    const chosen = namesIn(file).filter(
      ({ kind, declares }) => declares && kind !== 'quantity' && kind !== 'signal',
    );
    return chosen.map((found) => ({ name, found, at: offsetsOf(file, found.span).start }));
  });

  test('keeps every value but the name, and every other letter of the text', () => {
    expect(new Set(declared.map(({ found }) => found.kind)).size).toBe(9);
    const choice = fc.constantFrom(...declared);
    const names = fc.stringMatching(/^[a-z]{3,8}_[a-z0-9]{0,4}$/);
    fc.assert(
      fc.property(choice, names, ({ name, found, at }, newName) => {
        fc.pre([...complete.values()].every((text) => !text.includes(newName)));
        const workspace = openWorkspace(name);
        const file = workspace.file(`/shop/${name}`)!;
        const position = file.lines.position(at);
        const edit = renameAt({ file }, { position, newName }, editor, workspace);
        for (const [other, text] of complete) {
          const edits = edit?.changes?.[`file:///shop/${other}`] ?? [];
          const after = edited({ file: readSource(other, text) }, edits);
          // The name may also be that of a quantity or a section, so the replacement is applied to both sides.
          expect(saying(after, newName, found.text)).toEqual(saying(text, newName, found.text));
          expect(after.replaceAll(newName, found.text)).toBe(text);
          const left = namesIn(readSource(`/shop/${other}`, after)).filter((one) => isSameThing(one, found));
          expect(left).toEqual([]);
        }
        expect(Object.keys(edit?.changes ?? {})).toContain(`file:///shop/${name}`);
      }),
      { numRuns: 40 },
    );
  });

  test('and back gives the very same text', () => {
    const there = 'there_and_back';
    for (const { name, found, at } of declared.filter((_, i) => i % 3 === 0)) {
      const workspace = openWorkspace(name);
      const rename = (newName: string) => {
        const file = workspace.file(`/shop/${name}`)!;
        const position = file.lines.position(at);
        return renameAt({ file }, { position, newName }, editor, workspace)!.changes!;
      };
      for (const [changed, edits] of Object.entries(rename(there))) {
        const text = complete.get(changed.replace('file:///shop/', ''))!;
        workspace.rewrite(changed, [{ text: edited({ file: readSource(changed, text) }, edits) }]);
      }
      for (const [changed, edits] of Object.entries(rename(found.text))) {
        const path = changed.replace('file://', '');
        const back = edited({ file: workspace.file(path)! }, edits);
        expect(back).toBe(complete.get(changed.replace('file:///shop/', '')));
      }
    }
  });
});

function openWorkspace(name: string): Workspace {
  const workspace = workspaceOf(complete);
  workspace.rewrite(`file:///shop/${name}`, [{ text: complete.get(name)! }]);
  return workspace;
}
