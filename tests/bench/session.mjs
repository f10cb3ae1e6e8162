// One server and one text: opened, edited and queried as by an editor.

import { EditorClient, positionIn } from './client.mjs';
import { edits } from './edits.mjs';
import { median, timed } from './measure.mjs';

/** The requests sent after an edit, at a position in a map. */
const questions = {
  hover: ['textDocument/hover', (at) => ({ position: at })],
  completion: ['textDocument/completion', (at) => ({ position: { ...at, character: 4 } })],
  symbols: ['textDocument/documentSymbol', () => ({})],
  'inlay hints': ['textDocument/inlayHint', (at) => ({ range: screenAt(at) })],
};

/** About as many lines as a screen shows. */
const screenAt = ({ line }) => ({
  start: { line: Math.max(0, line - 30), character: 0 },
  end: { line: line + 30, character: 0 },
});

/**
 * Times in ms by what was timed, and `memory` in MB.
 * @param {{ args: readonly string[], settings?: (section: string) => unknown, answers: readonly string[] }} server
 * @param {{ folder: string, uri: string, text: string, opens: number, runs: number }} work
 */
export async function session(server, { folder, uri, text, opens, runs }) {
  const result = {};
  const openings = [];
  let client;
  for (let i = 0; i < opens; i++) {
    await client?.stop();
    client = new EditorClient(server.args, { folder, settings: server.settings });
    await client.start();
    openings.push(await timed(() => client.open(uri, text)));
  }
  result['first open'] = median(openings);
  for (const [name, edit] of Object.entries(edits)) result[name] = await editTime(client, uri, edit, runs);
  const at = positionIn(text, edits['a digit in the filling map'].at(text));
  for (const name of server.answers) {
    const [method, params] = questions[name];
    const ask = () => client.ask(method, { textDocument: { uri }, ...params(at) });
    result[name] = await answerTime(client, uri, ask, runs);
  }
  result.memory = client.memory();
  await client.stop();
  return result;
}

/** The median time of an answer after an edit, measured once the findings have arrived. */
async function answerTime(client, uri, ask, runs) {
  const edit = edits['a digit in a message'];
  const times = [];
  // The first run warms the program up.
  for (let run = -1; run < runs; run++) {
    const text = client.text(uri);
    const at = edit.at(text);
    const old = text.slice(at, at + edit.length);
    await client.edit(uri, at, at + edit.length, edit.text(run + 1, old));
    const time = await timed(ask);
    if (run >= 0) times.push(time);
  }
  return median(times);
}

/** The median time from an edit to its findings. Each edit is undone, which is not measured. */
async function editTime(client, uri, edit, runs) {
  const times = [];
  // The first runs warm the program up.
  for (let run = -Math.min(5, runs); run < runs; run++) {
    const text = client.text(uri);
    const at = edit.at(text);
    const old = text.slice(at, at + edit.length);
    const written = edit.text(run + 5, old);
    // An editor knows the line of an edit, so computing it is not measured; only the server's part is.
    const change = client.change(uri, { start: at, end: at + edit.length, text: written });
    const time = await timed(() => client.send(uri, [change]));
    if (run >= 0) times.push(time);
    await client.edit(uri, at, at + written.length, old);
  }
  return median(times);
}
