// `npm run demo`: checks the complete sample installations, prints the derived values of one with their formulas,
// explains the finding of a broken copy, and makes and verifies a release. In a fresh clone it installs and builds first.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { buildIfStale } from '../tests/build.mjs';
import { installPackages } from '../tests/install.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const engine = 'samples/dotterel/dotterel-16t.engine.yaml';

installPackages();
const bundle = relative(root, buildIfStale());

heading('Complete, invented engine installations without errors');
enginewright(0, 'check', 'samples/dotterel', 'samples/sanderling', 'samples/wheatear');

heading('Derived values of one of them at full power');
enginewright(0, 'derive', engine, '--point', 'take_off');

heading('A copy with injectors that are too small');
enginewright(1, 'check', 'samples/broken/injectors-too-small.engine.yaml');

heading('Why this matters');
enginewright(0, 'explain', 'injector-duty-over-100');

heading('A release for the controller, and its verification');
const folder = mkdtempSync(join(tmpdir(), 'enginewright-demo-'));
try {
  enginewright(0, 'release', engine, '--output', join(folder, 'release'));
  enginewright(0, 'verify', join(folder, 'release'));
} finally {
  rmSync(folder, { recursive: true });
}

heading('Next steps');
console.log(`All derived values at every operating point:   node ${bundle} derive ${engine}
The other broken samples:                      node ${bundle} check samples/broken
List of all checks:                            node ${bundle} explain`);

function heading(text) {
  console.log(`\n${text}\n${'─'.repeat(text.length)}`);
}

/** Prints a command and runs it; the demo stops if its status is not the expected one. */
function enginewright(expected, ...args) {
  console.log(`$ node ${bundle} ${args.join(' ')}\n`);
  const { status } = spawnSync(process.execPath, [bundle, ...args], { cwd: root, stdio: 'inherit' });
  if (status !== expected) {
    console.error(`\nDemo stopped: the command exited with ${status} instead of ${expected}.`);
    process.exit(1);
  }
}
