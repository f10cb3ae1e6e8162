// Runs a built program under V8's debugger, stops it once at a line of TypeScript, and lets it go on:
//
//   node stop-at.mjs PROGRAM BUNDLE SOURCE LINE [ARGUMENTS...]
//
// BUNDLE is the file that the source was built into. Its source map is found as an editor finds it, by the
// comment at its end. Where the program stopped is written to the error output as JSON: the source and the
// line, again from the source map.
import { readFileSync, writeSync } from 'node:fs';
import { Session } from 'node:inspector';
import { createRequire, SourceMap } from 'node:module';
import { pathToFileURL } from 'node:url';
import { isMainThread, parentPort, Worker } from 'node:worker_threads';

const [program, bundle, source, line, ...args] = process.argv.slice(2);

if (isMainThread) {
  // The debugger has its own thread, because a stopped thread could not tell itself to continue.
  const debugging = new Worker(new URL(import.meta.url), { argv: process.argv.slice(2) });
  debugging.once('message', () => {
    process.argv.splice(1, Number.POSITIVE_INFINITY, program, ...args);
    createRequire(import.meta.url)(program);
  });
} else {
  const session = new Session();
  session.connectToMainThread();
  session.post('Debugger.enable');
  const url = pathToFileURL(bundle);
  const lines = readFileSync(bundle, 'utf8').split('\n');
  const [, name] = /^\/\/# sourceMappingURL=(.+)$/m.exec(lines.slice(-2).join('\n'));
  const map = new SourceMap(JSON.parse(readFileSync(new URL(name, url), 'utf8')));
  const originalOf = ({ lineNumber, columnNumber }) => {
    const { originalSource, originalLine } = map.findEntry(lineNumber, columnNumber);
    return { source: String(new URL(originalSource, url)), line: originalLine + 1 };
  };
  const places = lines.map((text, lineNumber) => ({ lineNumber, columnNumber: text.search(/\S|$/) }));
  const wanted = String(pathToFileURL(source));
  const place = places.find((one) => {
    const original = originalOf(one);
    return original.source === wanted && original.line === Number(line);
  });
  if (!place) throw new Error(`No line of ${bundle} comes from ${source}:${line}.`);
  session.once('Debugger.paused', ({ params }) => {
    writeSync(2, JSON.stringify(originalOf(params.callFrames[0].location)));
    session.post('Debugger.resume');
    parentPort.close();
  });
  session.post('Debugger.setBreakpointByUrl', { url: String(url), ...place }, (error) => {
    if (error) throw error;
    parentPort.postMessage('ready');
  });
  // An open port prevents the thread from ending before the program stops.
  parentPort.ref();
}
