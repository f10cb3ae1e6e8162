// npm run fuzz -- workspace COUNT [SEED] takes COUNT random steps in the window of an editor on the built server: several
// files are open, a base, what is based on it and on that, and controllers; they are edited, saved, closed and opened
// again, and on disk others write, delete, restore and rename them. What a file is based on, and its controller, change
// too. A step is one of these, or a question under way. Steps come in bursts: nobody waits for an answer between them.
// After each burst the server must answer whatever is asked about each open file as a new server does that sees nothing
// but this file and what it leads to (`Alone`); what has to do with who else names a thing, as a new one that sees the
// folder. Where it does not, the series is shortened as far as that remains, and the status is 1.
import { inProcess } from './alone.mjs';
import { randomOf } from './random.mjs';
import { seriesOf } from './series.mjs';
import { Difference, Session, same } from './session.mjs';
import { shortened } from './shorten.mjs';

/** Every so many series the server is a new one, so that what it needs to go wrong is within reach. */
const SERIES_OF_A_SERVER = 50;
/** Every so many bursts, one answer of `Alone` is held against that of a process of its own. */
const BURSTS_A_PROCESS = 500;

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
  const { bursts, ...family } = series;
  console.error(`Shortened to ${bursts.flat().length} steps, a burst a line:\n${JSON.stringify(family)}`);
  for (const burst of bursts) console.error(JSON.stringify(burst));
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
