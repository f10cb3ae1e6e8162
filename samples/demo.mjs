// `npm run demo`: the main job on the samples. A complete installation is checked, what follows from it is printed with
// its formulas, and broken copies are explained. On a bare clone it installs and builds first.
import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { buildIfStale } from '../tests/build.mjs';
import { installPackages } from '../tests/install.mjs';

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const BROKEN = join('samples', 'broken');

installPackages();
const bundle = relative(root, buildIfStale());
const { installations, engine } = findSamples();

heading('Invented engine installations, complete and without fault');
enginewright(0, 'check', ...installations);

heading(`What follows from ${engine}: every value with its formula and its source`);
enginewright(0, 'derive', engine);

heading('Copies with one fault each');
enginewright(1, 'check', BROKEN);

heading('Why one of them matters');
enginewright(0, 'explain', firstError());

/** The folders of complete installations, and an engine file among them that is not based on another. */
function findSamples() {
  const folders = readdirSync(join(root, 'samples'), { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => join('samples', entry.name))
    .filter((folder) => folder !== BROKEN)
    .sort();
  const files = folders.flatMap((folder) => {
    return readdirSync(join(root, folder))
      .sort()
      .map((name) => join(folder, name));
  });
  const whole = files.find((file) => file.endsWith('.engine.yaml') && !/^based_on:/m.test(readText(file)));
  return { installations: folders, engine: whole };
}

function readText(file) {
  return readFileSync(join(root, file), 'utf8');
}

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

/** The rule of the first error among the broken copies. */
function firstError() {
  const args = [bundle, 'check', BROKEN, '--format', 'json'];
  const { stdout } = spawnSync(process.execPath, args, { cwd: root, encoding: 'utf8', maxBuffer: 1e8 });
  const findings = JSON.parse(stdout).files.flatMap((file) => file.findings);
  return findings.find(({ severity }) => severity === 'error').rule;
}
