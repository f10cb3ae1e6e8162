import { describe, expect, test } from 'vitest';
import { enginewright } from '../support/command-line.ts';
import { SAMPLES } from '../support/samples.ts';

const FILE = `${SAMPLES}dotterel/dotterel-16t.engine.yaml`;
const SEVERITIES = ['stops', 'damages', 'degrades', 'announces', 'hidden'];

interface Row {
  readonly of: string;
  readonly fault: string;
  readonly effects: readonly { readonly at: string; readonly value: number }[];
  readonly severity: string;
}

describe('faults', () => {
  test('prints JSON with exactly the documented keys', async () => {
    const { status, out } = await enginewright('faults', FILE, '--format', 'json');
    expect(status).toBe(0);
    const { files, ...rest } = JSON.parse(out) as { files: { path: string; rows: Row[] }[] };
    expect(rest).toEqual({});
    expect(files.map(({ path, ...more }) => [path, Object.keys(more)])).toEqual([[FILE, ['rows']]]);
    for (const row of files[0]!.rows) {
      expect(Object.keys(row)).toEqual([
        'of',
        'fault',
        'noticed',
        'effects',
        'lost',
        'told_by',
        'severity',
        'stated',
      ]);
      expect(SEVERITIES).toContain(row.severity);
      for (const effect of row.effects) {
        expect(Object.keys(effect)).toEqual(['at', 'id', 'normal', 'value', 'unit']);
        expect(effect.at).toMatch(/^operating_points\./);
        expect(Number.isFinite(effect.value)).toBe(true);
      }
    }
  });

  test('has one row for each thing and way to fail', async () => {
    const { out } = await enginewright('faults', FILE, '--format', 'json');
    const rows = (JSON.parse(out) as { files: { rows: Row[] }[] }).files[0]!.rows;
    const keys = rows.map(({ of, fault }) => `${of} ${fault}`);
    expect(new Set(keys).size).toBe(keys.length);
    expect(keys).toEqual(expect.arrayContaining(['sensors.crank lost', 'bus lost', 'controller lost']));
  });

  test('prints text, the worst first, with the counts', async () => {
    const { out } = await enginewright('faults', FILE);
    const places = SEVERITIES.map((word) => out.indexOf(`\n${word}  `));
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(places.every((place) => place > 0)).toBe(true);
    expect(out).toMatch(/\d+ single faults: \d+ stops, /);
  });

  test('prints CSV with one line for each effect, and every line with all columns', async () => {
    const { out } = await enginewright('faults', FILE, '--format', 'csv');
    const [head, ...lines] = out.trimEnd().split('\r\n');
    expect(head).toBe('path,of,fault,noticed,severity,at,id,normal,value,unit,lost,told_by,stated');
    expect(lines.length).toBeGreaterThan(100);
    for (const line of lines) expect(line.split(',')).toHaveLength(13);
  });

  test('prints Markdown and a page', async () => {
    const markdown = await enginewright('faults', FILE, '--format', 'markdown');
    expect(markdown.out).toContain('| stops | sensors.crank | lost |');
    const page = await enginewright('faults', FILE, '--format', 'html');
    expect(page.out).toContain('<h1>Fault table</h1>');
    expect(page.out).toContain('The engine stops until the pilot selects the standby controller');
  });

  test('names what shows a fault in the same words everywhere', async () => {
    const { out } = await enginewright('faults', FILE);
    const pages = await Promise.all(
      ['markdown', 'html'].map(
        async (format) => (await enginewright('faults', FILE, '--format', format)).out,
      ),
    );
    for (const text of [out, ...pages]) {
      expect(text).toMatch(/shown by/i);
      expect(text).toContain('not shown');
      expect(text).not.toMatch(/told/i);
    }
  });

  test('refuses a call without an engine file', async () => {
    expect((await enginewright('faults')).status).toBe(2);
    expect((await enginewright('faults', `${SAMPLES}none.engine.yaml`)).status).toBe(2);
  });
});
