import { array, assert as check, integer, property, tuple } from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Installation, readInstallation } from '../../shared/configuration/installation.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { homecoming } from '../../shared/storage/homecoming.ts';
import { numberType, writeRaw } from '../../shared/storage/number-type.ts';
import { addressOfCell } from '../../shared/storage/stored-parts.ts';
import { compareImage, matches } from '../../shared/storage/verify.ts';
import { edited, imageOf, memoryOf } from '../support/built-image.ts';
import { sampleText } from '../support/samples.ts';

function sample(name: string): Installation {
  const project = createProject((path) => sampleText(path.slice(1)));
  return readInstallation(project, project.source(`/${name}`)!);
}

describe.each([
  'dotterel/dotterel-16t.engine.yaml',
  'sanderling/sanderling-10t.engine.yaml',
  'wheatear/wheatear-10.engine.yaml',
])('%s', (name) => {
  const installation = sample(name);
  const built = imageOf(installation);

  test('has an image that matches itself', () => {
    expect(built.faults).toEqual([]);
    expect(matches(compareImage(built, memoryOf(built.bytes, built.window)))).toBe(true);
    expect(built.parts.length).toBeGreaterThan(50);
  });

  test('every single bit that changes is found and named', () => {
    const memory = memoryOf(built.bytes, built.window);
    const cells = new Map(
      built.parts.flatMap((stored) =>
        stored.cells.flatMap((cell) =>
          Array.from(
            { length: stored.part.type.bytes },
            (_, i) => [addressOfCell(stored, cell) + i, cell] as const,
          ),
        ),
      ),
    );
    const sums = new Set(
      built.checksums.flatMap(({ start, end }) => Array.from({ length: end - start }, (_, i) => start + i)),
    );
    const wrong: string[] = [];
    for (let at = 0; at < built.window.size; at++) {
      for (let bit = 0; bit < 8; bit++) {
        memory.bytes[at]! ^= 1 << bit;
        const { cells: found, checksums, elsewhere } = compareImage(built, memory);
        const cell = cells.get(at);
        const isNamed = cell
          ? found.length === 1 && found[0]!.cell === cell && elsewhere.length === 0
          : found.length === 0 && (sums.has(at) ? elsewhere.length === 0 : elsewhere[0]?.at === at);
        if (!isNamed || checksums.length !== 1) wrong.push(`${at} bit ${bit}`);
        memory.bytes[at]! ^= 1 << bit;
      }
    }
    expect(wrong).toEqual([]);
  });

  test('what an image holds, written into the text, makes the same image again', () => {
    const numbers = built.parts.flatMap((stored) =>
      stored.cells.filter(({ number }) => number).map((cell) => ({ stored, cell })),
    );
    const change = tuple(integer({ min: 0, max: numbers.length - 1 }), integer({ min: -2, max: 2 }));
    check(
      property(array(change, { minLength: 1, maxLength: 12 }), (changes) => {
        const bytes = built.bytes.slice();
        const view = new DataView(bytes.buffer);
        for (const [i, step] of changes) {
          const { stored, cell } = numbers[i]!;
          const { type } = stored.part;
          const wanted = type.kind === 'float' ? cell.raw * (1 + step / 64) : cell.raw + step;
          const raw = Math.max(type.lowest, Math.min(type.highest, wanted));
          writeRaw(numberType(type.name), raw, view, addressOfCell(stored, cell), built.isLittle);
        }
        const { cells } = compareImage(built, memoryOf(bytes, built.window));
        const { edits, faults } = homecoming(built, cells);
        // A number that map sets share is one in the text, and is refused unless the image agrees with itself.
        if (faults.length > 0) return;
        const again = imageOf(edited(installation, edits));
        // Axes that no longer rise make no table.
        if (again.faults.length > 0) return;
        expect(compareImage(again, memoryOf(bytes, built.window)).cells).toEqual([]);
      }),
      { numRuns: 20 },
    );
  });
});
