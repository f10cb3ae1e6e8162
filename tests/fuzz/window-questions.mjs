// Requests of an editor about a file of a window, with the answers, so that the same requests can be sent to another
// server.
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { positionIn } from '../bench/client.mjs';
import { inTime } from './questions.mjs';

/**
 * @typedef {{ method: string, params: object, answer: unknown }} Answered
 * @typedef {{ places: readonly number[], committed: ReadonlyMap<string, string>, isReviewed: boolean }} Asked positions
 *   as fractions of a text; the committed text of each file; whether to request the review of a file or its
 *   installation, each of which takes as long as everything else together
 */

const WHOLE = { start: { line: 0, character: 0 }, end: { line: 1e6, character: 0 } };

/**
 * Answers about an open file that depend only on the file, its base files and its controller file.
 * @returns {Promise<Answered[]>}
 */
export async function answersAbout(client, folder, name, texts, { places, committed, isReviewed }) {
  const uri = pathToFileURL(join(folder, name)).href;
  const text = texts.get(name);
  const textDocument = { uri };
  const positions = places.map((share) => positionIn(text, Math.floor(share * (text.length + 1))));
  const [here] = positions;
  const files = [...committed].map(([file, said]) => ({
    uri: pathToFileURL(join(folder, file)).href,
    ...(said === undefined ? { state: 'none' } : { state: 'committed', text: said }),
  }));
  const questions = [
    ['textDocument/diagnostic', {}],
    ...(name.includes('.engine.') ? [['enginewright/proof', {}]] : []),
    ['textDocument/inlayHint', { range: WHOLE }],
    ...positions.map((position) => ['textDocument/hover', { position }]),
    ['textDocument/documentSymbol', {}],
    ['textDocument/semanticTokens/full', {}],
    ['textDocument/documentLink', {}],
    ['textDocument/codeAction', { range: WHOLE, context: { diagnostics: [] } }],
    ...positions.slice(0, 2).map((position) => ['enginewright/tableView', { position }]),
    // The installation of a controller file depends on an engine file that names it.
    ...(isReviewed
      ? [['enginewright/review', { committed: files }]]
      : name.includes('.engine.')
        ? [['enginewright/installationView', {}]]
        : []),
    ['textDocument/documentHighlight', { position: here }],
  ];
  const answered = await askAll(
    client,
    questions.map(([method, params]) => ({ method, params: { textDocument, ...params } })),
  );
  const view = answered.find(({ method }) => method === 'enginewright/installationView')?.answer;
  const explained = valuesOf(view, places).map((value) => ({
    method: 'enginewright/explanation',
    params: { textDocument, asked: { value, through: [] } },
  }));
  return [...answered, ...(await askAll(client, explained))];
}

/** The names of some of the values in an installation view. */
function valuesOf(view, places) {
  const { whole = [], rows = [] } = view?.values ?? {};
  const all = [...whole, ...rows.flatMap(({ cells }) => cells)].flatMap((cell) => cell?.value ?? []);
  return all.length === 0 ? [] : places.slice(0, 3).map((share) => all[Math.floor(share * all.length)]);
}

/** Answers about the open files that may depend on every file of the folder: the uses of their names. */
export async function answersAmong(client, folder, open, texts, { places }) {
  const questions = open.flatMap((name) => {
    const textDocument = { uri: pathToFileURL(join(folder, name)).href };
    const text = texts.get(name);
    const [one, other] = places.map((share) => positionIn(text, Math.floor(share * (text.length + 1))));
    return [
      ['textDocument/codeLens', {}],
      ['textDocument/references', { position: one, context: { includeDeclaration: true } }],
      ['textDocument/references', { position: other, context: { includeDeclaration: false } }],
      ['textDocument/definition', { position: one }],
      ['textDocument/prepareRename', { position: other }],
      ['textDocument/completion', { position: one }],
      ...(name.includes('.controller.') ? [['enginewright/installationView', {}]] : []),
    ].map(([method, params]) => ({ method, params: { textDocument, ...params } }));
  });
  // Lenses show bounds, which are there once the searches have ended.
  const engines = open.filter((name) => name.endsWith('.engine.yaml'));
  for (const name of engines)
    await inTime(
      client.ask('enginewright/proof', { textDocument: { uri: pathToFileURL(join(folder, name)).href } }),
      'enginewright/proof',
    );
  const answered = await askAll(client, questions);
  const lenses = answered
    .filter(({ method }) => method === 'textDocument/codeLens')
    .flatMap(({ answer }) => places.slice(0, 3).map((share) => answer?.[Math.floor(share * answer.length)]))
    .filter((lens) => lens);
  return [
    ...answered,
    ...(await askAll(client, [
      ...lenses.map((params) => ({ method: 'codeLens/resolve', params })),
      { method: 'workspace/symbol', params: { query: '' } },
    ])),
  ];
}

const FIRST = ['textDocument/diagnostic', 'enginewright/proof'];

/** Sends requests, or sends them again; a refusal with a reason counts as an answer. */
export async function askAll(client, questions) {
  const answer = async ({ method, params }) => {
    try {
      return { method, params, answer: lasting(await inTime(client.ask(method, params), method)) };
    } catch (error) {
      // Error codes of the protocol are negative; other codes mean that the server has ended.
      if (!(error.code < 0)) throw error;
      return { method, params, answer: { refused: error.code, message: error.message } };
    }
  };
  // Findings and bounds first: these requests wait until the searches have ended, and other answers show their results.
  const isFirst = ({ method }) => FIRST.includes(method);
  const first = [];
  for (const question of questions.filter(isFirst)) first.push(await answer(question));
  const rest = await Promise.all(questions.filter((one) => !isFirst(one)).map(answer));
  return questions.map((one) => (isFirst(one) ? first : rest).shift());
}

/** Removes result ids, which differ for each answer, and sorts workspace symbols, whose order is undefined. */
function lasting(answer) {
  if (Array.isArray(answer) && answer[0]?.location) return answer.map((one) => JSON.stringify(one)).sort();
  return answer?.resultId === undefined ? answer : { ...answer, resultId: '' };
}
