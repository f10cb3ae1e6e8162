// npm run bench: how long an editor and a shell wait, for files of three sizes and for a thousand files, compared with
// the parser alone and with the general YAML language server in the same run. Prints the tables; `-- --keep` also
// writes them into BENCHMARKS.md.
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { buildIfStale } from '../build.mjs';
import { project } from '../editor/paths.mjs';
import { boundsTable } from './bounds.mjs';
import { edits } from './edits.mjs';
import { GENERAL_WAIT, generalServer, generalSettings } from './general-server.mjs';
import { installation } from './installation.mjs';
import { median, number, processTime, table } from './measure.mjs';
import { profileTables } from './profile.mjs';
import { session } from './session.mjs';

const FILES = 1000;
const SIZES = [
  { lines: 300, opens: 5, runs: 41 },
  { lines: 3000, opens: 5, runs: 41 },
  { lines: 30_000, opens: 3, runs: 21 },
];
/** The general server takes so long that fewer runs have to suffice. */
const GENERAL_RUNS = 5;

const options = new Set(process.argv.slice(2));
const bundle = buildIfStale();
const general = options.has('--alone') ? undefined : generalServer();
const scratch = mkdtempSync(join(tmpdir(), 'enginewright-bench-'));
const busy = loadavg()[0] > 0.5;
try {
  const report = [
    machine(),
    await sizesTable(),
    filesTable(await thousandFiles()),
    bounds(),
    'Where the time of an analysis goes, by a profile of it:',
    await profiles(),
  ].join('\n\n');
  console.log(`\n${report}`);
  if (options.has('--keep')) keep(report);
} finally {
  rmSync(scratch, { recursive: true, force: true });
}

async function sizesTable() {
  const columns = [];
  for (const size of SIZES) columns.push(...(await columnsOf(size)));
  const [ours] = columns;
  const rows = Object.keys(ours.values).map((name) => [
    name,
    ...columns.map(({ values }) => number(values[name])),
  ]);
  return table(['ms (memory in MB)', ...columns.map(({ head }) => head)], rows);
}

/** Times our server and the general one with the same text. */
async function columnsOf({ lines, opens, runs }) {
  console.log(`${lines} lines…`);
  const folder = join(scratch, String(lines));
  const text = writeInstallation(folder, lines);
  const place = { folder: address(folder), uri: address(join(folder, 'a.engine.yaml')), text };
  const answers = ['hover', 'inlay hints', 'completion', 'symbols'];
  const ours = await session({ args: [bundle, 'serve', '--stdio'], answers }, { ...place, opens, runs });
  const parsing = parseTime(folder, opens);
  const check = await processTime(opens, [bundle, 'check', join(folder, 'a.engine.yaml')], [0, 1]);
  const values = {
    ...ours,
    'parse by yaml, once': parsing,
    'check, cold': check,
    'check of one line': await oneLine(),
    'node -e 0': await emptyNode(),
  };
  for (const name of ['first open', ...Object.keys(edits)]) values[`${name} ÷ parse`] = ours[name] / parsing;
  values['check ÷ node -e 0'] = check / values['node -e 0'];
  const columns = [{ head: `${lines} lines`, values }];
  if (!general) return columns;
  const measured = await session(
    {
      args: [general, '--stdio'],
      settings: generalSettings,
      answers: answers.filter((name) => name !== 'inlay hints'),
    },
    { ...place, opens: 1, runs: GENERAL_RUNS },
  );
  const waits = new Set(['first open', ...Object.keys(edits)]);
  const other = Object.fromEntries(
    Object.entries(measured).map(([name, ms]) => [name, waits.has(name) ? ms - GENERAL_WAIT : ms]),
  );
  const ratios = Object.fromEntries(Object.keys(other).map((name) => [name, other[name] / ours[name]]));
  return [...columns, { head: 'general', values: other }, { head: '÷ ours', values: ratios }];
}

/** A thousand installations of about 300 lines, no two alike, and their controller. */
async function thousandFiles() {
  console.log(`${FILES} files…`);
  const folder = join(scratch, 'many');
  const text = writeInstallation(folder, 300);
  for (let i = 1; i < FILES; i++) {
    const own = text
      .replace(/^title: .*/m, `title: Installation ${i}`)
      .replace(/bore: 79/, `bore: ${78 + i / 1000}`);
    writeFileSync(join(folder, `a${i}.engine.yaml`), own);
  }
  return {
    check: await processTime(1, [bundle, 'check', folder], [0, 1]),
    alone: await processTime(1, [bundle, 'check', '--threads', '1', folder], [0, 1]),
    parse: parseTime(folder, 1),
  };
}

function profiles() {
  console.log('profiles…');
  const sizes = SIZES.map(({ lines }) => ({ name: `${lines} lines`, folder: join(scratch, String(lines)) }));
  return profileTables(sizes, scratch);
}

function bounds() {
  console.log('bounds…');
  const made = SIZES.filter(({ lines }) => lines <= 3000).map(({ lines }) => ({
    name: `${lines} lines`,
    path: join(scratch, String(lines), 'a.engine.yaml'),
  }));
  return boundsTable(bundle, made);
}

function filesTable({ check, alone, parse }) {
  return table(
    [`${FILES} files of 300 lines`, 'ms', 'ms a file'],
    [
      [`check of all, ${availableParallelism()} threads`, number(check), number(check / FILES)],
      ['check of all, one thread', number(alone), number(alone / FILES)],
      ['parse by yaml of all, one after the other', number(parse), number(parse / FILES)],
      ['check ÷ parse', number(check / parse), ''],
      ['check ÷ parse, one thread each', number(alone / parse), ''],
    ],
  );
}

function writeInstallation(folder, lines) {
  const made = installation(lines);
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'a.engine.yaml'), made.engine);
  writeFileSync(join(folder, made.controllerName), made.controller);
  return made.engine;
}

function address(path) {
  return pathToFileURL(path).href;
}

/** A nearly empty file: the time to load the program. */
function oneLine() {
  const path = join(scratch, 'one.engine.yaml');
  writeFileSync(path, 'enginefile: 1\n');
  return processTime(9, [bundle, 'check', path], [0, 1]);
}

function emptyNode() {
  return processTime(9, ['-e', '0']);
}

/** One parse in a fresh process, comparable to the server's first open. */
function parseTime(folder, runs) {
  const script = fileURLToPath(new URL('parse.mjs', import.meta.url));
  const times = Array.from({ length: runs }, () => {
    const { stdout, stderr } = spawnSync(process.execPath, [script, folder], { encoding: 'utf8' });
    if (stderr) throw new Error(stderr);
    return Number(stdout);
  });
  return median(times);
}

function machine() {
  const [first] = cpus();
  const state = busy ? 'other work ran beside it, so only ratios mean something' : 'nothing else ran';
  return `${cpus().length} × ${first.model.trim()}, Node ${process.versions.node}; ${state}.`;
}

function keep(report) {
  const path = project('BENCHMARKS.md');
  const mark = '<!-- the last run -->';
  const head = readFileSync(path, 'utf8').split(mark)[0];
  writeFileSync(path, `${head}${mark}\n\n${report}\n`);
}
