import { readFileSync } from 'node:fs';
import { test } from 'vitest';
import { analyse } from '../shared/analysis.ts';
import { createProject } from '../shared/configuration/project.ts';
import { valueText } from '../shared/derived/value.ts';
test('x', () => {
  const p = createProject((path) => readFileSync(path, 'utf8'));
  const file = process.env.F ?? new URL('./fixtures/complete.engine.yaml', import.meta.url).pathname;
  const a = analyse(p, file)!;
  const ids = /^(scaling|units|thermi|rtd|thermoc|air_fuel|knock_w|degrees|edges|gap|time_to|driver|wire|current|supply_wire)/;
  for (const v of a.derivation!.all()) if (ids.test(v.id)) console.log(`${v.at} ${v.id} ${valueText(v)} | ${v.formula} | ${v.substituted}`);
  for (const f of a.findings) console.log(`${f.severity} ${f.rule} ${f.path}: ${f.message}`);
});
