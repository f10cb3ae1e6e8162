// Bundled and run by profile.mjs: opens an engine file like the language server, edits it like the benchmark, and
// prints a profile of both: ms by module of this bundle.
import { readFileSync } from 'node:fs';
import { Session } from 'node:inspector/promises';
import { pathToFileURL } from 'node:url';
import { editorOf } from '../../server/editor.ts';
import { diagnosticsOf } from '../../server/features/diagnostics.ts';
import { readText } from '../../server/files.ts';
import { Workspace } from '../../server/workspace.ts';
import { positionIn } from './client.mjs';
import { edits } from './edits.mjs';

const [path = '', bundle = ''] = process.argv.slice(2);
/** The number of edits, each of them undone, before the profile and during it. */
const WARM = 8;
const RUNS = 40;

/** The module of each line of the bundle; the bundler writes its name above it. */
const moduleOfLine = [];
for (const line of readFileSync(bundle, 'utf8').split('\n')) {
  const named = /^\/\/ ((?:\.\.\/)*(?:shared|server|generated|tests|node_modules)\/.*)$/.exec(line)?.[1];
  moduleOfLine.push(named ?? moduleOfLine.at(-1) ?? '');
}

const session = new Session();
session.connect();

/** The sampling interval in µs. A shorter one would itself take a considerable part of the time. */
const INTERVAL = 1000;

/** The time in ms that each module took. */
async function profiled(work) {
  await session.post('Profiler.start');
  work();
  const { profile } = await session.post('Profiler.stop');
  const ms = {};
  const nodes = new Map(profile.nodes.map((node) => [node.id, node.callFrame]));
  profile.samples.forEach((id, i) => {
    const { functionName, url, lineNumber } = nodes.get(id);
    // Names in parentheses are V8's own, such as `(garbage collector)`; anything else outside the bundle belongs to
    // Node.
    const own = url.startsWith('file:') ? moduleOfLine[lineNumber] : '(program)';
    const name = functionName.startsWith('(') ? functionName : own;
    ms[name] = (ms[name] ?? 0) + profile.timeDeltas[i] / 1000;
  });
  return ms;
}

const workspace = new Workspace({ read: readText });
const editor = editorOf({ capabilities: {}, processId: null, rootUri: null });
const uri = pathToFileURL(path).href;
const text = readText(path);
const say = (change) => {
  workspace.rewrite(uri, [change]);
  diagnosticsOf(workspace.analysis(uri), editor);
};

/** The position after a text that is inserted at a position. */
function behind({ line, character }, written) {
  const end = positionIn(written, written.length);
  return { line: line + end.line, character: end.character + (end.line === 0 ? character : 0) };
}

await session.post('Profiler.enable');
await session.post('Profiler.setSamplingInterval', { interval: INTERVAL });
const results = { 'first open': await profiled(() => say({ text })) };
for (const [name, edit] of Object.entries(edits)) {
  const at = edit.at(text);
  const old = text.slice(at, at + edit.length);
  const start = positionIn(text, at);
  const run = (from, count) => {
    for (let i = from; i < from + count; i++) {
      const written = edit.text(i, old);
      say({ range: { start, end: behind(start, old) }, text: written });
      say({ range: { start, end: behind(start, written) }, text: old });
    }
  };
  run(0, WARM);
  results[name] = await profiled(() => run(WARM, RUNS));
}
// `node --expose-gc`
globalThis.gc();
console.log(JSON.stringify({ results, alive: process.memoryUsage().heapUsed / 1e6 }));
