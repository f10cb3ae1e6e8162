import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { changeBreakpoints } from '../../shared/tables/breakpoints.ts';
import { changeCells } from '../../shared/tables/cells.ts';
import { fillBetweenCorners, readLine, smooth } from '../../shared/tables/surface.ts';
import { changed, type Drawn, drawn, mapText } from './drawn.ts';

const rising = (least: number) =>
  fc
    .uniqueArray(fc.integer({ min: 1, max: 400 }), { minLength: least, maxLength: 6 })
    .map((points) => points.sort((a, b) => a - b).map((point) => point * 20));

/** A map as people write it: aligned or ragged, with comments. */
const maps = fc
  .tuple(
    rising(2),
    rising(2),
    fc.integer({ min: 0, max: 2 }),
    fc.boolean(),
    fc.infiniteStream(fc.integer({ min: 0, max: 9999 })),
  )
  .map(([x, y, decimals, aligned, numbers]) => {
    const cells = y.map(() => x.map(() => (Number(numbers.next().value) / 10 ** decimals).toFixed(decimals)));
    const widths = x.map((_, c) => Math.max(...cells.map((row) => row[c]!.length)));
    const rows = cells.map(
      (row, r) =>
        `[${row.map((cell, c) => (aligned ? cell.padStart(widths[c]!) : cell)).join(', ')}] # row ${r}`,
    );
    const before = drawn(mapText(rows.join('\n'), x.join(', '), y.join(', ')));
    return { before, x, y, decimals, aligned, cells: cells.map((row) => row.map(Number)) };
  });

const numbersOf = ({ table }: Drawn): number[][] =>
  table.table.rows.map((row) => row.map(({ value }) => Number(value)));

/** Where the cells of each row end. */
const endsOf = (text: string): string[] =>
  text.split('\n').flatMap((line) => {
    const row = /^ {6}- (\[.*\])/.exec(line)?.[1];
    return row === undefined ? [] : [[...row.matchAll(/[,\]]/g)].map(({ index }) => index).join()];
  });

describe('text edits', () => {
  test('of a resampling give a table that reads as the old surface, to the step in which it is written', () => {
    fc.assert(
      fc.property(maps, rising(2), fc.constantFrom('x' as const, 'y' as const), (map, wanted, on) => {
        const { before, decimals } = map;
        const outcome = changeBreakpoints(before.table, on, { kind: 'resample', text: wanted.join(' ') });
        const text = changed(before, outcome);
        const { table } = drawn(text).table;
        expect(table.cells).toBeDefined();
        expect(table[on]?.nodes.map(({ value }) => value)).toEqual(wanted);
        const step = 10 ** -decimals;
        numbersOf(drawn(text)).forEach((row, r) => {
          row.forEach((cell, c) => {
            const line = on === 'x' ? map.cells[r]! : map.cells.map((old) => old[c]!);
            const read = readLine(line, map[on], wanted[on === 'x' ? c : r]!);
            expect(Math.abs(cell - read)).toBeLessThanOrEqual(0.5001 * step);
          });
        });
        if (map.aligned) expect(new Set(endsOf(text)).size).toBe(1);
        if (on === 'x') expect(text.match(/# row \d/g)).toHaveLength(map.y.length);
      }),
      { numRuns: 60 },
    );
  });

  test('of work on cells touch those cells alone, and keep columns', () => {
    const operations = fc.constantFrom(
      { kind: 'scale', text: '1.37' } as const,
      { kind: 'add', text: '-250' } as const,
      { kind: 'set', text: '12345.5' } as const,
      { kind: 'smooth' } as const,
    );
    fc.assert(
      fc.property(maps, operations, fc.nat(), fc.nat(), (map, operation, r, c) => {
        const { before } = map;
        const area = { top: 0, left: 0, bottom: r % map.y.length, right: c % map.x.length };
        const text = changed(before, changeCells({ ...before.block, area }, operation));
        const after = drawn(text);
        after.table.table.rows.forEach((row, i) => {
          row.forEach((cell, j) => {
            if (i > area.bottom || j > area.right)
              expect(cell.text).toBe(before.table.table.rows[i]![j]!.text);
          });
        });
        if (map.aligned) expect(new Set(endsOf(text)).size).toBe(1);
        const words = (all: string) =>
          all
            .replace(/-?\d+(\.\d+)?/g, '0')
            .replace(/ +/g, ' ')
            .replaceAll('[ ', '[');
        expect(words(text)).toBe(words(before.analysis.file.text));
      }),
      { numRuns: 60 },
    );
  });
});

describe('surfaces', () => {
  const plane = fc.tuple(
    rising(3),
    rising(3),
    fc.tuple(
      fc.integer({ min: -50, max: 50 }),
      fc.integer({ min: -5, max: 5 }),
      fc.integer({ min: -5, max: 5 }),
    ),
  );
  const everywhere = (x: readonly number[], y: readonly number[]) => ({
    top: 0,
    left: 0,
    bottom: y.length - 1,
    right: x.length - 1,
  });
  const isNear = (a: readonly (readonly number[])[], b: readonly (readonly number[])[]) =>
    a.forEach((row, r) => {
      row.forEach((cell, c) => {
        expect(cell).toBeCloseTo(b[r]![c]!, 6);
      });
    });

  test('that are straight along x and y are left alone by smoothing and by filling', () => {
    fc.assert(
      fc.property(plane, ([x, y, [a, b, c]]) => {
        const cells = y.map((down) => x.map((across) => a + b * across + c * down + across * down * 1e-3));
        isNear(smooth(cells, everywhere(x, y), x, y), cells);
        isNear(fillBetweenCorners(cells, everywhere(x, y), x, y), cells);
      }),
    );
  });

  test('are never smoothed beyond their own least and greatest cell', () => {
    fc.assert(
      fc.property(maps, ({ cells, x, y }) => {
        const all = cells.flat();
        for (const cell of smooth(cells, everywhere(x, y), x, y).flat()) {
          expect(cell).toBeGreaterThanOrEqual(Math.min(...all) - 1e-9);
          expect(cell).toBeLessThanOrEqual(Math.max(...all) + 1e-9);
        }
      }),
    );
  });
});
