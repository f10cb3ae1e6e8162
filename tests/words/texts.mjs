// Every text of the project that a user or a reader of the code sees, and where it is written.
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import jsTokens from 'js-tokens';

const ROOT = new URL('../../', import.meta.url);
const read = (path) => readFileSync(new URL(path, ROOT), 'utf8');

/** @typedef {{ readonly where: string, readonly text: string }} Text */

/** The texts of the product: titles, messages, labels, descriptions, settings, help. */
export function productTexts() {
  const sources = ['shared', 'server', 'client'].flatMap((folder) => filesBelow(folder, ['.ts']));
  return [
    ...sources.flatMap((path) => literals(path)),
    ...filesBelow('schemas', ['.json']).flatMap((path) => describedIn(path, ['description', 'title'])),
    ...describedIn('package.json', [
      ...['description', 'markdownDescription', 'title', 'displayName', 'altText', 'name'],
      ...['enumDescriptions', 'markdownEnumDescriptions'],
    ]),
  ];
}

/** The messages of findings, from the fixtures of the checks. */
export const messageTexts = () => inFixtures(MESSAGE);

/** The titles of fixes, also from these fixtures. */
export const fixTexts = () => inFixtures(FIX);

function inFixtures(pattern) {
  return filesBelow('tests/fixtures/checks', ['.yaml']).flatMap((path) =>
    read(path)
      .split('\n')
      .flatMap((line, i) => {
        const found = pattern.exec(line);
        return found ? [{ where: `${path}:${i + 1}`, text: found[1] }] : [];
      }),
  );
}

const MESSAGE = /^#\s*\^+ (?:error|warning|information|hint) [a-z0-9-]+: (.+)$/;
const FIX = /^#-- fix: (.+)$/;

/** Pages for users and developers, paragraph by paragraph, and the comments of the samples. */
export function pageTexts() {
  const pages = ['README.md', 'DEVELOPERS.md', 'docs/protocol.md', ...filesBelow('samples', ['.md'])];
  return [
    ...pages.flatMap((path) => paragraphs(path)),
    ...filesBelow('samples', ['.yaml', '.yml']).flatMap((path) => yamlComments(path)),
  ];
}

/** Comments in the code. */
export function commentTexts() {
  return ['shared', 'server', 'client', 'tests', 'scaffold']
    .flatMap((folder) => filesBelow(folder, ['.ts', '.mjs']))
    .flatMap((path) => comments(path));
}

function filesBelow(folder, endings) {
  const root = fileURLToPath(new URL(`${folder}/`, ROOT));
  return readdirSync(root, { recursive: true, encoding: 'utf8' })
    .map((name) => `${folder}/${name.replaceAll('\\', '/')}`)
    .filter((path) => endings.some((ending) => path.endsWith(ending)))
    .sort();
}

/** String and template literals that contain words; inserted values are shown as `…`. */
function literals(path) {
  const texts = [];
  /** The open templates, innermost last. */
  const open = [];
  for (const { type, value, line } of tokens(path)) {
    if (type === 'StringLiteral' || type === 'NoSubstitutionTemplate')
      texts.push({ line, text: value.slice(1, -1) });
    else if (type === 'TemplateHead') open.push({ line, text: value.slice(1, -2) });
    else if (type === 'TemplateMiddle') open.at(-1).text += `…${value.slice(1, -2)}`;
    else if (type === 'TemplateTail') {
      const { line, text } = open.pop();
      texts.push({ line, text: `${text}…${value.slice(1, -1)}` });
    }
  }
  return texts
    .map(({ line, text }) => ({ where: `${path}:${line}`, text: text.replace(/\\(.)/g, unescaped) }))
    .filter(({ text }) => isProse(text));
}

const unescaped = (_, character) => ({ n: '\n', t: '\t' })[character] ?? character;

/** The tokens of a file with the line on which each begins. */
function tokens(path) {
  let line = 1;
  return [...jsTokens(read(path))].map(({ type, value }) => {
    const token = { type, value, line };
    line += value.split('\n').length - 1;
    return token;
  });
}

/** Whether a text is at least two words and not code: no markup, path or pattern. */
const isProse = (text) => /\p{L}{2,}[,:;.…]? +\p{L}{2,}/u.test(text) && !/<\/?\w+|=>|[{}]\s*$/.test(text);

/** Comments; consecutive lines with `//` count as one. */
function comments(path) {
  const texts = [];
  let last;
  for (const { type, value, line } of tokens(path)) {
    if (type === 'SingleLineComment' && last?.end === line - 1) {
      last.text += value.slice(2);
      last.end = line;
    } else if (type === 'SingleLineComment' || type === 'MultiLineComment') {
      last = { line, end: line, text: value.replace(/^\/\*\*?|\*\/$|^\s*\* ?|^\/\/ ?/gm, '') };
      texts.push(last);
    }
  }
  return texts.map(({ line, text }) => ({
    where: `${path}:${line}`,
    text: text.replace(/\s+/g, ' ').trim(),
  }));
}

function describedIn(path, keys) {
  const texts = [];
  const visit = (value, key, names) => {
    if (typeof value === 'string' && keys.includes(key))
      texts.push({ where: `${path}#${names.join('.')}`, text: value });
    if (typeof value !== 'object' || value === null) return;
    for (const [name, one] of Object.entries(value))
      visit(one, Array.isArray(value) ? key : name, [...names, name]);
  };
  visit(JSON.parse(read(path)), '', []);
  return texts;
}

function paragraphs(path) {
  const lines = read(path).split('\n');
  const texts = [];
  let isCode = false;
  let open;
  lines.forEach((line, i) => {
    if (line.startsWith('```')) isCode = !isCode;
    if (isCode || line.trim() === '' || line.startsWith('```')) open = undefined;
    else if (open && !/^(#|-|\||\d+\.|!\[)/.test(line)) open.text += ` ${line.trim()}`;
    else {
      open = { where: `${path}:${i + 1}`, text: line.trim() };
      texts.push(open);
    }
  });
  return texts;
}

function yamlComments(path) {
  return read(path)
    .split('\n')
    .flatMap((line, i) => {
      const found = /(?:^|\s)# ?(.*\p{L} .*)$/u.exec(line);
      return found ? [{ where: `${path}:${i + 1}`, text: found[1] }] : [];
    });
}
