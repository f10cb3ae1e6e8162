// npm run fuzz -- workspace COUNT [SEED] takes COUNT random steps in the window of an editor with the built server.
// Several files are open: a base file, overlays of it and of these, and controller files. They are edited, saved,
// closed and opened again, and other programs write, delete, restore and rename them on disk. Their `based_on` and
// `controller` change too. A step is one of these, or a request. Steps come in bursts without waiting for answers.
// After each burst, the server must answer every request about each open file like a fresh server that sees only this
// file and the files that it uses (`Alone`); requests that depend on other files, like a fresh server that sees the
// whole folder. If an answer differs, the series is shortened as long as it still fails, and the exit status is 1.
import { inProcess } from './alone.mjs';
import { randomOf } from './random.mjs';
import { seriesOf } from './series.mjs';
import { Difference, Session, same } from './session.mjs';
import { shortened } from './shorten.mjs';

/** A new server is started after this many series, so that few series are needed to reproduce a failure. */
const SERIES_OF_A_SERVER = 50;
/** After this many bursts, one answer of `Alone` is compared with that of a separate process. */
const BURSTS_A_PROCESS = 500;

/** Runs until this many steps have been taken; sets the exit status on failure. */
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

/** Compares the answers about one file with those of a separate process, to verify `Alone`. */
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
  const { bursts, ...family } = series;
  console.error(`Shortened to ${bursts.flat().length} steps, a burst a line:\n${JSON.stringify(family)}`);
  for (const burst of bursts) console.error(JSON.stringify(burst));
  console.error(`which comes to ${(await run(series)).message}`);
}

/** The failure of a series in a fresh server; undefined if there is none. */
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
