// `npm run demo`: the main job on the samples. Complete installations are checked, what follows from one of them
// is printed with its formulas, and a broken copy is explained. On a bare clone it installs and builds first.
import { spawnSync } from 'node:child_process';
import { dirname, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { buildIfStale } from '../tests/build.mjs';
import { installPackages } from '../tests/install.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const engine = 'samples/dotterel/dotterel-16t.engine.yaml';

installPackages();
const bundle = relative(root, buildIfStale());

heading('Invented engine installations, complete and without fault');
enginewright(0, 'check', 'samples/dotterel', 'samples/sanderling', 'samples/wheatear');

heading('What follows from one of them at full power');
enginewright(0, 'derive', engine, '--point', 'take_off');

heading('A copy with injectors that are too small');
enginewright(1, 'check', 'samples/broken/injectors-too-small.engine.yaml');

heading('Why that matters');
enginewright(0, 'explain', 'injector-duty-over-100');

heading('Where to go from here');
console.log(`Every value of the file and of all its points:  node ${bundle} derive ${engine}
The other broken copies, one fault each:        node ${bundle} check samples/broken
Every check:                                    node ${bundle} explain`);

function heading(text) {
  console.log(`\n${text}\n${'─'.repeat(text.length)}`);
}

/** Shows a command and runs it; the demo ends where the command gives another status than it should. */
function enginewright(expected, ...args) {
  console.log(`$ node ${bundle} ${args.join(' ')}\n`);
  const { status } = spawnSync(process.execPath, [bundle, ...args], { cwd: root, stdio: 'inherit' });
  if (status !== expected) {
    console.error(
      `\nThe demo stops here: the command gave the status ${status}, and it should be ${expected}.`,
    );
    process.exit(1);
  }
}
