// Runs the editor tests, or those of the folder of `tests/editor` that is named, and writes the counts of passed and failed tests
// for tests/run.mjs.
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { output, project } from './paths.mjs';
import { runSuite } from './run-suite.mjs';

const started = Date.now();
const totals = await runSuite({
  tests: project(join('tests/editor', process.argv[2] ?? 'suite')),
  workspace: [project('tests/editor/workspace'), project('samples')],
  pictures: output('pictures'),
}).catch((error) => {
  console.error(error.message);
  return undefined;
});
const { passed, failed } = totals ?? { passed: 0, failed: 1 };
writeFileSync(output('editor.json'), JSON.stringify({ passed, failed }));
console.log(
  `Editor tests: ${passed} passed, ${failed} failed, in ${((Date.now() - started) / 1000).toFixed(1)} s.`,
);
process.exit(failed === 0 && passed > 0 ? 0 : 1);
