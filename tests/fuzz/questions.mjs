// Requests of an editor about an open text.

const AT = ({ position }) => ({ position });

/** By method, the parameters besides the document. */
const questions = {
  'textDocument/hover': AT,
  'textDocument/completion': AT,
  'textDocument/definition': AT,
  'textDocument/documentHighlight': AT,
  'textDocument/references': ({ position }) => ({ position, context: { includeDeclaration: true } }),
  'textDocument/selectionRange': ({ position }) => ({ positions: [position] }),
  'textDocument/inlayHint': ({ whole }) => ({ range: whole }),
  'textDocument/documentSymbol': () => ({}),
  'textDocument/foldingRange': () => ({}),
  'textDocument/documentLink': () => ({}),
  'textDocument/codeLens': () => ({}),
  'textDocument/formatting': () => ({ options: { tabSize: 2, insertSpaces: true } }),
  'textDocument/codeAction': ({ position }) => ({
    range: { start: position, end: position },
    context: { diagnostics: [] },
  }),
  'textDocument/semanticTokens/full': () => ({}),
};

export const methods = Object.keys(questions);

/** Methods whose answers depend only on the text, not on what came before. */
export const lasting = [
  'textDocument/inlayHint',
  'textDocument/documentSymbol',
  'textDocument/semanticTokens/full',
];

/** Sends one request. A refusal with a reason counts as an answer; no answer is an error. */
export async function ask(client, uri, method, position, token) {
  const whole = { start: { line: 0, character: 0 }, end: { line: 1e6, character: 0 } };
  const params = { textDocument: { uri }, ...questions[method]({ position, whole }) };
  try {
    return await inTime(client.ask(method, params, token), method);
  } catch (error) {
    // Request cancelled, text changed in the meantime, or refused with a reason for the user.
    if ([-32800, -32801, -32802, -32803].includes(error.code)) return { refused: error.code };
    throw error;
  }
}

/** How long to wait for an answer, in ms. Generous, because the machine may be busy. */
const LONGEST = 180_000;

export async function inTime(answer, what) {
  let timer;
  const late = new Promise((_, reject) => {
    timer = setTimeout(() => reject(new Error(`${what}: no answer in ${LONGEST / 1000} s`)), LONGEST);
  });
  try {
    return await Promise.race([answer, late]);
  } finally {
    clearTimeout(timer);
  }
}
