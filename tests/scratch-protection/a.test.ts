import { test } from 'vitest';
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { analyseCase } from '../support/fixture.ts';
import { mapSets } from '../../shared/checks/map-sets.ts';
import { protection } from '../../shared/checks/protection.ts';
import { mapSetChanges } from '../../shared/derived/map-sets.ts';
const mine = new Set([...protection.checks, ...mapSets.checks].map((c) => c.id));
test('a', () => {
  const a = analyseCase(new Map([['case.engine.yaml', 'based_on: ./complete.engine.yaml\n']]));
  const say = (x: typeof a) => x.findings.filter((f) => mine.has(f.rule)).map((f) => `${f.severity} ${f.rule} ${f.path}: ${f.message} ${f.fixes.map((x) => x.title)}`).join('\n  ');
  console.log('complete\n  ' + say(a));
  console.log(mapSetChanges(a.installation!).map((c) => c.text).join('\n'));
  const walk = (d: string): string[] => readdirSync(d).flatMap((n) => statSync(`${d}/${n}`).isDirectory() ? walk(`${d}/${n}`) : n.endsWith('.engine.yaml') ? [`${d}/${n}`] : []);
  const p = createProject((f) => { try { return readFileSync(f, 'utf8'); } catch { return undefined; } });
  for (const f of walk(new URL('../../samples', import.meta.url).pathname)) { const x = analyse(p, f)!; console.log(f, '\n  ' + say(x)); if (x.installation && !f.includes('broken')) console.log(mapSetChanges(x.installation).map((c) => c.text).join('\n')); }
});
