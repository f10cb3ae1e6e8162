import { test } from 'vitest';
import { analyseCase } from '../support/fixture.ts';
test('a', () => {
  const a = analyseCase(new Map([['case.engine.yaml', 'based_on: ./complete.engine.yaml\n']]));
  for (const v of a.derivation!.all()) console.log(v.at, v.id, v.substituted);
  console.log(a.findings.map((f) => `${f.severity} ${f.rule} ${f.message}`));
});
