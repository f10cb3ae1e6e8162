// npm run fuzz -- COUNT [SEED] applies COUNT random edits to the samples, through the protocol and the built server.
// Edits come in bursts, as from typing, pasting and several cursors: each in its own message or all in one, with
// requests in between, some of which are cancelled. The server must return the findings of the last text and answer
// every request. After each series of bursts, a second server opens the resulting text, and its answers must be the
// same. (A fault that a later edit of the same series hides is missed; some series have only one edit.) No edit may
// cause an error in the log, leave a request unanswered, or take too much time or memory. If one does, the seed of the
// series and the text are printed, and the exit status is 1.
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { pathToFileURL } from 'node:url';
import { isDeepStrictEqual } from 'node:util';
import { CancellationTokenSource } from 'vscode-languageserver/node';
import { EditorClient, positionIn } from '../bench/client.mjs';
import { buildIfStale } from '../build.mjs';
import { output, project } from '../editor/paths.mjs';
import { randomEdit } from './edits.mjs';
import { ask, inTime, lasting, methods } from './questions.mjs';
import { randomOf } from './random.mjs';

/** The maximum number of edits of a text; more edits of garbage reveal nothing. */
const LONGEST_SERIES = 24;
/** The maximum number of edits sent before the first is answered. */
const LONGEST_BURST = 8;
/** The maximum CPU time of a server for one burst and its requests, in s. */
const MOST_TIME = 10;
/** The maximum memory of a server after any number of edits, in MB. */
const MOST_MEMORY = 600;

const bundle = buildIfStale();
const folder = project('samples');
const samples = readdirSync(folder, { recursive: true })
  .filter((name) => /\.(engine|controller)\.yaml$/.test(name))
  .sort();
const clients = [await start(), await start()];
const [live, fresh] = clients;

let edits = 0;
let most = 0;
let longest = 0;
/** The CPU time of each server at the last check. */
const judged = new Map();

/** Runs until this many edits have been made; sets the exit status on failure. */
export async function fuzz(count, firstSeed) {
  const began = Date.now();
  let seed = firstSeed;
  for (; edits < count && process.exitCode === undefined; seed++) {
    const before = edits;
    await series(seed);
    if (Math.floor(edits / 10_000) > Math.floor(before / 10_000)) console.log(`${edits} edits, seed ${seed}`);
  }
  for (const client of clients) await client.stop();
  if (process.exitCode !== undefined) return;
  const seconds = ((Date.now() - began) / 1000).toFixed(0);
  const memory =
    most > 0 ? `, no server beyond ${most.toFixed(0)} MB or ${longest.toFixed(1)} s a burst` : '';
  console.log(
    `${edits} edits of ${samples.length} samples in ${seconds} s, seeds ${firstSeed} to ${seed - 1}: clean${memory}.`,
  );
}

async function start() {
  const client = new EditorClient([bundle, 'serve', '--stdio'], { folder: pathToFileURL(folder).href });
  await client.start();
  return client;
}

/** Edits one sample, with requests after each burst, and finally compares. */
async function series(seed) {
  const random = randomOf(seed);
  const name = samples[seed % samples.length];
  const uri = pathToFileURL(join(folder, name)).href;
  const before = readFileSync(join(folder, name), 'utf8');
  await live.open(uri, before);
  try {
    for (let left = 1 + random.below(LONGEST_SERIES); left > 0; ) {
      const length = Math.min(left, 1 + random.below(LONGEST_BURST));
      await burst(uri, length, random);
      left -= length;
      edits += length;
    }
    await compare(uri, random);
    judge();
  } catch (error) {
    report(name, seed, live.text(uri), error);
  }
  await live.close(uri);
}

/**
 * Sends several edits, with occasional requests in between, some of which are cancelled, and one request at the end.
 */
async function burst(uri, length, random) {
  const asked = [];
  const inOneMessage = random.below(2) === 0;
  let findings;
  let changes = [];
  for (let i = 1; i <= length; i++) {
    changes.push(live.change(uri, randomEdit(live.text(uri), random)));
    if (inOneMessage && i < length) continue;
    findings = live.send(uri, changes);
    changes = [];
    if (random.below(3) === 0) asked.push(question(uri, random));
  }
  await Promise.all([inTime(findings, 'findings'), ...asked]);
  await ask(live, uri, random.pick(methods), place(uri, random));
  judge();
}

function question(uri, random) {
  const withdrawn = new CancellationTokenSource();
  const answer = ask(live, uri, random.pick(methods), place(uri, random), withdrawn.token);
  if (random.below(2) === 0) withdrawn.cancel();
  return answer;
}

function place(uri, random) {
  const text = live.text(uri);
  return positionIn(text, random.below(text.length + 1));
}

/** Opens the same text in a server that has not seen the edits, and compares. */
async function compare(uri, random) {
  await inTime(fresh.open(uri, live.text(uri)), 'findings of the fresh server');
  try {
    const [pulled, expected] = await Promise.all(clients.map((client) => completeFindings(client, uri)));
    same('findings', pulled, expected);
    await published(live, uri, expected);
    const position = place(uri, random);
    for (const method of [...lasting, 'textDocument/hover', 'textDocument/completion']) {
      const [is, expected] = await Promise.all(clients.map((client) => ask(client, uri, method, position)));
      same(method, withoutId(is), withoutId(expected));
    }
  } finally {
    await fresh.close(uri);
  }
}

/** The findings of all checks, also of those that search bounds when nobody types. */
async function completeFindings(client, uri) {
  const answer = client.ask('textDocument/diagnostic', { textDocument: { uri } });
  return (await inTime(answer, 'complete findings')).items;
}

/** Complete findings are published a moment later. */
async function published(client, uri, expected) {
  for (let wait = 0; wait < 500 && !isDeepStrictEqual(client.published.get(uri), expected); wait++)
    await new Promise((resolve) => setTimeout(resolve, 10));
  same('published findings', client.published.get(uri), expected);
}

/** The result id of semantic tokens differs each time. */
function withoutId(answer) {
  return answer?.resultId === undefined ? answer : { ...answer, resultId: '' };
}

function same(what, is, expected) {
  if (isDeepStrictEqual(is, expected)) return;
  const [a, b] = [is, expected].map((value) => JSON.stringify(value, null, 1).split('\n'));
  const at = a.findIndex((line, i) => line !== b[i]);
  const lines = (text) => text.slice(Math.max(0, at - 8), at + 8).join('\n');
  throw new Error(`${what} after edits\n${lines(a)}\n\nand afresh\n${lines(b)}`);
}

function judge() {
  for (const client of clients) {
    if (client.complaints.length > 0) throw new Error(client.complaints.splice(0).join('\n'));
    const time = client.processorTime() ?? 0;
    const taken = time - (judged.get(client) ?? 0);
    judged.set(client, time);
    longest = Math.max(longest, taken);
    if (taken > MOST_TIME) throw new Error(`a server took ${taken.toFixed(1)} s`);
    const memory = client.memory() ?? 0;
    most = Math.max(most, memory);
    if (memory > MOST_MEMORY) throw new Error(`a server holds ${memory.toFixed(0)} MB`);
  }
}

function report(name, seed, text, error) {
  mkdirSync(output(), { recursive: true });
  const kept = output(`fuzz-${seed}.${name.split('.').slice(-2).join('.')}`);
  writeFileSync(kept, text);
  console.error(`${name}, seed ${seed}, after ${edits} edits: ${error.stack ?? error}`);
  console.error(`The text is in ${relative(project(), kept)}.`);
  process.exitCode = 1;
}
