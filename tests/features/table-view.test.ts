import { describe, expect, test } from 'vitest';
import { tableViewAt } from '../../server/features/table-view.ts';
import { coverageOf } from '../../shared/tables/operating-region.ts';
import type { TableView } from '../../shared/tables/view.ts';
import { mapText } from '../tables/drawn.ts';
import { marked, OVERLAY } from './marked.ts';

const ROWS = '[50, 51, 52]\n[60, $061, 62]\n[70, 71, 72.0]';

const viewAt = (text: string, path?: string) => {
  const { analysis, position } = marked(text);
  return {
    analysis,
    ...tableViewAt(analysis, { textDocument: { uri: '' }, position, ...(path && { path }) }),
  };
};

describe('the table at the cursor', () => {
  test('comes with its axes, its cells as written and where each stands', () => {
    const { table, cursor, ranges } = viewAt(mapText(ROWS));
    expect(table).toMatchObject({
      path: 'fuel.volumetric_efficiency',
      label: 'Volumetric efficiency',
      unit: '%',
      x: { label: 'Engine speed', unit: 'rpm', points: [1000, 2000, 4000], texts: ['1000', '2000', '4000'] },
      y: { label: 'Manifold pressure', unit: 'kPa abs', points: [40, 80, 100] },
      numbers: [
        [50, 51, 52],
        [60, 61, 62],
        [70, 71, 72],
      ],
    });
    expect(table!.texts[2]![2]).toBe('72.0');
    expect(cursor).toEqual({ row: 1, column: 1 });
    expect(ranges[1]![1]).toEqual({ start: { line: 7, character: 13 }, end: { line: 7, character: 15 } });
  });

  test('comes with the cells that several selections span', () => {
    const { analysis, position } = marked(mapText(ROWS));
    const at = (line: number, from: number, to: number) => ({
      start: { line, character: from },
      end: { line, character: to },
    });
    const spanning = (...selections: ReturnType<typeof at>[]) =>
      tableViewAt(analysis, { textDocument: { uri: '' }, position, selections }).selected;
    expect(spanning(at(6, 13, 15), at(7, 13, 15))).toEqual({ top: 0, bottom: 1, left: 1, right: 1 });
    expect(spanning(at(7, 9, 15))).toEqual({ top: 1, bottom: 1, left: 0, right: 1 });
    expect(spanning(at(0, 0, 0))).toEqual({ top: 1, bottom: 1, left: 1, right: 1 });
    expect(spanning()).toEqual({ top: 1, bottom: 1, left: 1, right: 1 });
  });

  test('is the one of the given path where the cursor is elsewhere', () => {
    const elsewhere = `${mapText(ROWS.replace('$0', ''))}engine: { bore: 84$0 mm }\n`;
    expect(viewAt(elsewhere).table).toBeNull();
    const { table, cursor } = viewAt(elsewhere, 'fuel.volumetric_efficiency');
    expect(table?.label).toBe('Volumetric efficiency');
    expect(cursor).toBeNull();
  });

  test('has no cells while it is half typed, but still a name', () => {
    const { table, path } = viewAt(mapText('[50, 51, 52]\n[60, $0, 62]\n[70, 71, 72]'));
    expect(table).toBeNull();
    expect(path).toBe('fuel.volumetric_efficiency');
  });
});

describe('what the engine does with the table', () => {
  const text = `${OVERLAY}${mapText(ROWS, '1000, 3000, 9000', '40, 80, 400')}`;
  const { table, analysis } = viewAt(text);
  const view = table as TableView;

  test('operating points stand where they run, with what the table reads there', () => {
    const point = analysis.derivation!.points[0]!;
    const drawn = view.points.find(({ name }) => name === point.name)!;
    expect(drawn.x).toBe(point.conditions.speed.canonical);
    expect(drawn.value).toBeGreaterThan(50);
    expect(drawn.value).toBeLessThan(72);
  });

  test('its reach is from idle to maximum speed, and is the one that counts the covered cells', () => {
    const [engine] = analysis.installation!.engines;
    expect(view.reach[0]!.x).toBe(engine!.configuration.engine!.idle_speed!.canonical);
    expect(view.reach.at(-1)!.x).toBe(engine!.configuration.engine!.maximum_speed!.canonical);
    const filling = engine!.configuration.fuel!.volumetric_efficiency!;
    const reachAt = (speed: number) => view.reach.find(({ x }) => x === speed);
    const reached = view.x.points.flatMap((speed) =>
      view.y!.points.filter((pressure) => {
        const at = reachAt(speed);
        return at && at.low! <= pressure && pressure <= at.high!;
      }),
    );
    expect(reached.length).toBe(coverageOf(analysis.derivation!, filling)!.reached);
  });

  test('a table that a map set writes is used by the points of that set alone', () => {
    const set = mapText(ROWS, '1000, 3000, 9000', '40, 80, 400').replace(/^(?=.)/gm, '        ');
    const points = ['everyday', 'special'].map(
      (name) => `  ${name}: { map_set: ${name}, speed: 3000 rpm, manifold_pressure: 60 kPa abs }\n`,
    );
    const sets = `map_sets:\n  sets:\n    everyday: { when: open }\n    special:\n      when: closed\n      apply:\n${set}`;
    const { table: view } = viewAt(`${OVERLAY}operating_points:\n${points.join('')}${sets}`);
    expect(view!.path).toBe('map_sets.sets.special.apply.fuel.volumetric_efficiency');
    expect(view!.points.find(({ name }) => name === 'special')!.value).toBeCloseTo(56);
    expect(view!.points.map(({ name }) => name)).toEqual(['special']);
    expect(view!.reach.length).toBeGreaterThan(0);
  });
});
