// npm run fuzz -- workspace COUNT [SEED] takes COUNT random steps in the window of an editor on the built server: several
// files are open, a base, what is based on it and on that, and controllers; they are edited, saved, closed and opened
// again, and on disk others write, delete, restore and rename them. What a file is based on, and its controller, change
// too. A step is one of these, or a question under way. Steps come in bursts: nobody waits for an answer between them.
// After each burst the server must answer whatever is asked about each open file as a new server does that sees nothing
// but this file and what it leads to (`Alone`); what has to do with who else names a thing, as a new one that sees the
// folder. Where it does not, the series is shortened as far as that remains, and the status is 1.
import { mkdirSync, mkdtempSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { isDeepStrictEqual } from 'node:util';
import { EditorClient } from '../bench/client.mjs';
import { buildIfStale } from '../build.mjs';
import { familyOf, SECTIONS, WHERE } from '../support/family.mjs';
import { Alone, inProcess } from './alone.mjs';
import { inTime } from './questions.mjs';
import { randomOf } from './random.mjs';
import { firstDifference } from './same.mjs';
import { shortened } from './shorten.mjs';
import { randomStep, Window } from './window.mjs';
import { answersAmong, askAll } from './window-questions.mjs';

/** Steps of one family; after many, its texts are all spoilt. */
const LONGEST_SERIES = 80;
const LONGEST_BURST = 16;
/** Every so many series the server is a new one, so that what it needs to go wrong is within reach. */
const SERIES_OF_A_SERVER = 50;
/** Every so many bursts, one answer of `Alone` is held against that of a process of its own. */
const BURSTS_A_PROCESS = 500;
/** Seconds for which a server may miss what nobody tells it of the disk, on a machine that does other work too. */
const LONGEST_UNSEEN = 20;
/** MB that a server may hold. */
const MOST_MEMORY = 600;

const bundle = buildIfStale();

/** All that makes a series: the same again for the same. */
function seriesOf(seed) {
  const random = randomOf(seed);
  const edit = () => ({ where: random.pick(WHERE), pick: random.below(10_000), digit: random.below(10) });
  const some = (most, make) => Array.from({ length: random.below(most + 1) }, make);
  const part = () => ({
    section: random.pick(SECTIONS),
    entry: random.below(5) === 0 ? null : random.below(99),
  });
  const overlay = () => ({
    on: random.below(99),
    parts: some(2, part),
    controller: random.below(2) === 0,
    isBelow: random.below(2) === 0,
    edits: some(3, edit),
  });
  const recipe = { root: random.pick([0, 0, 0, 0, 1, 2]), overlays: [overlay(), ...some(2, overlay)] };
  const bursts = [];
  for (let left = 1 + random.below(LONGEST_SERIES); left > 0; left -= bursts.at(-1).length)
    bursts.push(
      Array.from({ length: Math.min(left, 1 + random.below(LONGEST_BURST)) }, () => ({
        ...randomStep(random),
        flush: random.below(2) === 0,
      })),
    );
  const places = Array.from({ length: 6 }, () => random.below(10_000) / 10_000);
  // An editor that watches nothing makes every burst a second longer.
  const watches = random.below(40) > 0;
  return { recipe, bursts, places, isReviewed: random.below(2) === 0, watches };
}

/** A server with a folder of its own. */
class Session {
  published = 0;
  #reports = new Map();

  /** Without a folder in the window, a document leads to files in its own folder alone. */
  static async start(hasFolder) {
    const session = new Session();
    session.hasFolder = hasFolder;
    session.folder = realpathSync(mkdtempSync(join(tmpdir(), 'enginewright-fuzz-')));
    mkdirSync(join(session.folder, 'below'));
    const folders = hasFolder ? [pathToFileURL(session.folder).href] : [];
    session.client = new EditorClient([bundle, 'serve', '--stdio'], { folders });
    session.alone = new Alone(session.folder, folders);
    session.window = new Window(session.folder, session.client);
    await session.client.start();
    return session;
  }

  async stop() {
    const { process: server, complaints } = this.client;
    if (server.exitCode === null && server.signalCode === null) await this.client.stop();
    else
      console.error(`A server ended with ${server.exitCode ?? server.signalCode}: ${complaints.join('\n')}`);
    rmSync(this.folder, { recursive: true });
  }

  /** Takes the steps of a series; after each burst everything is compared. A difference is thrown. */
  async run({ recipe, bursts, places, isReviewed, watches }, each = () => {}) {
    const family = familyOf(recipe);
    this.alone.clear();
    this.window.begin(family, watches);
    const asked = { places, committed: family, isReviewed };
    for (const [i, burst] of bursts.entries()) {
      for (const step of burst) {
        this.window.take(step);
        if (step.flush) this.window.flush();
      }
      await this.window.settle();
      await (watches ? this.#compare(asked, i) : this.#compareInTime(asked, i));
      this.#judge();
      await each(burst, asked);
    }
  }

  /** The server looks at the disk by itself every now and then; how often, it may decide. */
  async #compareInTime(asked, turn) {
    for (let left = LONGEST_UNSEEN; ; left--) {
      try {
        return await this.#compare(asked, turn);
      } catch (error) {
        if (left === 0 || !(error instanceof Difference)) throw error;
        await new Promise((resolve) => setTimeout(resolve, 1000));
      }
    }
  }

  async #compare(asked, turn) {
    const { open, texts } = this.window;
    for (const name of open.keys()) {
      const expected = await this.alone.about(name, texts, asked);
      same(name, await askAll(this.client, expected), expected);
      await this.#comparePublished(name, expected[0].answer.items);
    }
    if (turn % 5 === 1 && open.size > 0) await this.#compareAmong(asked);
    if (turn % 3 === 0) await this.#compareReports(asked);
  }

  /** What the server told of its own accord comes when it has time. */
  async #comparePublished(name, items) {
    const uri = this.window.uri(name);
    for (let wait = 0; wait < 500; wait++) {
      if (isDeepStrictEqual(this.client.published.get(uri), items)) return;
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
    throw new Difference(name, 'textDocument/publishDiagnostics', this.client.published.get(uri), items);
  }

  async #compareAmong(asked) {
    const { open, texts } = this.window;
    const names = [...open.keys()].sort();
    const expected = await this.alone.among(names, texts, asked);
    const found = await answersAmong(this.client, this.folder, names, texts, asked);
    same(names.join(', '), found, expected);
  }

  /** The findings of every file, open or not; of what has not changed since, the server says only that. */
  async #compareReports(asked) {
    const { disk, open, texts, watches } = this.window;
    const previousResultIds = [...this.#reports].map(([uri, { resultId }]) => ({ uri, value: resultId }));
    const { items } = await inTime(
      this.client.ask('workspace/diagnostic', { previousResultIds }),
      'workspace/diagnostic',
    );
    for (const report of items) {
      if (report.kind === 'full') this.#reports.set(report.uri, report);
      if (report.resultId === undefined) this.#reports.delete(report.uri);
    }
    const names = [...disk.keys()].filter((name) => this.hasFolder || open.has(name)).sort();
    const uris = items.filter(({ resultId }) => resultId !== undefined).map(({ uri }) => uri);
    const listed = names.map((name) => this.window.uri(name));
    // That the file of an open document is gone, only who watches the disk knows.
    const known = uris.filter((uri) => watches || listed.includes(uri)).sort();
    if (!isDeepStrictEqual(known, listed))
      throw new Difference('the folder', 'workspace/diagnostic', known, listed);
    for (const name of names) {
      const [{ answer }] = await this.alone.about(name, texts, asked);
      const found = this.#reports.get(this.window.uri(name))?.items;
      if (!isDeepStrictEqual(found, answer.items))
        throw new Difference(name, 'workspace/diagnostic', found, answer.items);
    }
  }

  #judge() {
    if (this.client.complaints.length > 0) throw new Error(this.client.complaints.splice(0).join('\n'));
    const memory = this.client.memory() ?? 0;
    if (memory > MOST_MEMORY) throw new Error(`the server holds ${memory.toFixed(0)} MB`);
  }
}

class Difference extends Error {
  constructor(file, method, found, expected) {
    super(`${file}: ${method}\n${firstDifference(found, expected)}`);
    this.file = file;
    this.method = method;
  }
}

function same(name, found, expected) {
  for (const [i, { method, params, answer }] of expected.entries()) {
    if (isDeepStrictEqual(found[i]?.answer, answer)) continue;
    const what = `${method} ${JSON.stringify({ ...params, textDocument: undefined, committed: undefined })}`;
    throw new Difference(name, what, found[i]?.answer, answer);
  }
}

/** Until so many steps are taken; the status of the process tells whether all was well. */
export async function fuzz(count, firstSeed) {
  const began = Date.now();
  const done = { steps: 0, bursts: 0, alone: 0, processes: 0 };
  let most = 0;
  let seed = firstSeed;
  let session;
  let hasFolder;
  for (; done.steps < count && process.exitCode === undefined; seed++) {
    if ((seed - firstSeed) % SERIES_OF_A_SERVER === 0) {
      await session?.stop();
      hasFolder = randomOf(seed).below(4) > 0;
      session = await Session.start(hasFolder);
    }
    const before = done.steps;
    const { made } = session.alone;
    try {
      await session.run(seriesOf(seed), async (burst, asked) => {
        done.steps += burst.length;
        done.bursts += 1;
        if (done.bursts % BURSTS_A_PROCESS === 1) done.processes += await holdAgainstProcess(session, asked);
      });
    } catch (error) {
      await report(seed, seed - ((seed - firstSeed) % SERIES_OF_A_SERVER), hasFolder, error);
    }
    done.alone += session.alone.made - made;
    most = Math.max(most, session.client.memory() ?? 0);
    if (Math.floor(done.steps / 10_000) > Math.floor(before / 10_000))
      console.log(`${summary()}, seed ${seed}`);
  }
  await session.stop();
  function summary() {
    const seconds = ((Date.now() - began) / 1000).toFixed(0);
    return `${done.steps} steps in ${done.bursts} bursts, ${done.alone} new servers in ${seconds} s`;
  }
  if (process.exitCode !== undefined) return;
  console.log(
    `${summary()}, ${done.processes} of them held against processes, seeds ${firstSeed} to ${seed - 1}: clean, ` +
      `no server beyond ${most.toFixed(0)} MB.`,
  );
}

/** One file, as a process of its own sees it: what `Alone` says must not come of where it runs. */
async function holdAgainstProcess({ window, alone, folder, hasFolder }, asked) {
  const [name] = window.open.keys();
  if (name === undefined) return 0;
  const expected = await alone.about(name, window.texts, asked);
  same(`${name} in a process`, await inProcess(name, window.texts, folder, hasFolder, asked), expected);
  return 1;
}

async function report(seed, since, hasFolder, error) {
  process.exitCode = 1;
  const where = hasFolder ? 'with its folder open' : 'without a folder';
  console.error(`Seed ${seed}, its server since seed ${since}, ${where}: ${error.stack ?? error}`);
  if (!(error instanceof Difference)) return;
  const run = (one) => runAfresh(one, hasFolder);
  const series = await shortened(seriesOf(seed), run);
  if (!series) {
    console.error(`In a new server the series alone is clean. From seed ${since} on it is to be repeated.`);
    return;
  }
  console.error(`Shortened to ${series.bursts.flat().length} steps:\n${JSON.stringify(series, null, 1)}`);
  console.error(`which comes to ${(await run(series)).message}`);
}

/** What goes wrong in a series in a new server; undefined where nothing does. */
async function runAfresh(series, hasFolder) {
  const session = await Session.start(hasFolder);
  try {
    await session.run(series);
    return undefined;
  } catch (error) {
    return error;
  } finally {
    await session.stop();
  }
}
