import {
  CLOSE_BRACE,
  CLOSE_BRACKET,
  COLON,
  COMMA,
  DASH,
  DOUBLE_QUOTE,
  HASH,
  isBlank,
  isFlowIndicator,
  isLineBreak,
  isPrintable,
  LINE_FEED,
  OPEN_BRACE,
  OPEN_BRACKET,
  opensWord,
  RETURN,
  SINGLE_QUOTE,
  SPACE,
} from './characters.ts';
import { coreValue } from './core-value.ts';
import {
  type Chunk,
  type Entry,
  MAX_NODES,
  MappingNode,
  type Node,
  ScalarNode,
  SequenceNode,
} from './tree.ts';

/** Text nested deeper than this is left to the library, which says what is wrong with it. */
const DEEPEST = 32;
/** YAML wants the colon of a key within 1024 characters. */
const LONGEST_KEY = 1000;

/**
 * Reads the plain part of YAML: keys, lists, words, numbers, quoted text and brackets, which is what nearly every line of
 * a configuration is made of. At the first character that may mean anything else (an anchor, a folded text, a fault) it
 * gives up, and the text is the YAML library's, which is the judge of it. The two never differ: a test holds the tree of
 * the one against the tree of the other. The library alone takes ten times as long, which was a third of opening one.
 */
export function readPlain(chunk: Chunk): MappingNode | undefined {
  return new PlainReader(chunk).read();
}

/** Each of its readers leaves `#at` behind what it read, and gives undefined where it gives up. */
class PlainReader {
  readonly #text: string;
  #at = 0;
  /** The column of the word at `#at`, where that is the first of its line; -1 at the end of the text. */
  #indent = -1;
  #depth = 0;
  /** How many keys and values the tree has so far, but for its root. */
  #nodes = 0;

  constructor(readonly chunk: Chunk) {
    this.#text = chunk.parsedText;
  }

  read(): MappingNode | undefined {
    if (!this.#toNextLine() || this.#indent < 0) return undefined;
    const root = this.#mapping(this.#key());
    return this.#indent < 0 && this.#nodes < MAX_NODES ? root : undefined;
  }

  /** The rest of a mapping whose first key has been read. */
  #mapping(first: ScalarNode | undefined): MappingNode | undefined {
    const { chunk } = this;
    const indent = this.#indent;
    const entries: Entry[] = [];
    while (this.#indent === indent) {
      const key = entries.length === 0 ? first : this.#key();
      const value = key && this.#valueOf(indent);
      if (!value) return undefined;
      entries.push({ key, value });
    }
    if (this.#indent > indent) return undefined;
    this.#nodes += 2 * entries.length;
    return mappingOf(chunk, first!.start, entries.at(-1)!.value.end, false, entries);
  }

  /** What stands behind a key, on its line or in the lines below. */
  #valueOf(indent: number): Node | undefined {
    this.#skipSpaces();
    const at = this.#at;
    if (!this.#isLineEnd()) return this.#lineOf(indent);
    if (!this.#toNextLine()) return undefined;
    if (this.#indent > indent) return this.#block(indent);
    // A list may stand as far left as its key.
    if (this.#indent === indent && this.#text.charCodeAt(this.#at) === DASH) return undefined;
    return new ScalarNode(this.chunk, at, at, null, '', 'empty');
  }

  /** What begins on a line of its own, deeper than `indent`. */
  #block(indent: number): Node | undefined {
    if (++this.#depth > DEEPEST) return undefined;
    const isItem = this.#text.charCodeAt(this.#at) === DASH && this.#text.charCodeAt(this.#at + 1) === SPACE;
    const block = isItem ? this.#sequence() : this.#mappingOrLine(indent);
    this.#depth--;
    return block;
  }

  #sequence(): SequenceNode | undefined {
    const start = this.#at;
    const indent = this.#indent;
    const items: Node[] = [];
    while (this.#indent === indent) {
      const item = this.#item(indent);
      if (!item) return undefined;
      items.push(item);
    }
    if (this.#indent > indent) return undefined;
    this.#nodes += items.length;
    return sequenceOf(this.chunk, start, items.at(-1)!.end, false, items);
  }

  #item(indent: number): Node | undefined {
    const dash = this.#at;
    if (this.#text.charCodeAt(dash) !== DASH || this.#text.charCodeAt(dash + 1) !== SPACE) return undefined;
    this.#at++;
    this.#skipSpaces();
    const within = indent + this.#at - dash;
    if (++this.#depth > DEEPEST) return undefined;
    const item = this.#mappingOrLine(indent, within);
    this.#depth--;
    return item;
  }

  /** A value that ends with its line, or with the bracket that closes it. */
  #lineOf(indent: number): Node | undefined {
    const value = this.#word(indent, false);
    // Were the next line deeper, it would go on with this value.
    return value && this.#toNextLine() && this.#indent <= indent ? value : undefined;
  }

  #word(indent: number, inFlow: boolean): Node | undefined {
    const code = this.#text.charCodeAt(this.#at);
    if (code === OPEN_BRACKET) return this.#flowSequence(indent);
    if (code === OPEN_BRACE) return this.#flowMapping(indent);
    const quote = this.#quoteHere();
    return quote ? this.#quoted(quote) : this.#bare(inFlow);
  }

  #flowSequence(indent: number): SequenceNode | undefined {
    const start = this.#at;
    const items: Node[] = [];
    const closed = this.#inBrackets(indent, CLOSE_BRACKET, () => {
      const item = this.#word(indent, true);
      if (item) items.push(item);
      return item !== undefined;
    });
    this.#nodes += items.length;
    return closed ? sequenceOf(this.chunk, start, this.#at, true, items) : undefined;
  }

  #flowMapping(indent: number): MappingNode | undefined {
    const start = this.#at;
    const entries: Entry[] = [];
    const closed = this.#inBrackets(indent, CLOSE_BRACE, () => {
      const key = this.#key(true);
      this.#skipSpaces();
      const value = key && this.#word(indent, true);
      if (value) entries.push({ key, value });
      return value !== undefined;
    });
    this.#nodes += 2 * entries.length;
    return closed ? mappingOf(this.chunk, start, this.#at, true, entries) : undefined;
  }

  /** Reads members and commas up to the closing bracket; false where it gives up. */
  #inBrackets(indent: number, close: number, readMember: () => boolean): boolean {
    if (++this.#depth > DEEPEST) return false;
    do {
      this.#at++;
      if (!this.#toFlowWord(indent)) return false;
      if (this.#text.charCodeAt(this.#at) === close) break;
      if (!readMember() || !this.#toFlowWord(indent)) return false;
    } while (this.#text.charCodeAt(this.#at) === COMMA);
    this.#depth--;
    return this.#text.charCodeAt(this.#at++) === close;
  }

  /** A mapping, if a key stands here, at the column `within`; otherwise the value of a line under one at `indent`. */
  #mappingOrLine(indent: number, within = this.#indent): Node | undefined {
    const at = this.#at;
    const key = this.#key();
    if (key) {
      this.#indent = within;
      return this.#mapping(key);
    }
    this.#at = at;
    return this.#lineOf(indent);
  }

  #key(inFlow = false): ScalarNode | undefined {
    const quote = this.#quoteHere();
    const key = quote ? this.#quoted(quote) : this.#bare(inFlow);
    const at = this.#at;
    const isKey = this.#text.charCodeAt(at) === COLON && isBlank(this.#text.charCodeAt(at + 1));
    if (!key || !isKey || at - key.start > LONGEST_KEY) return undefined;
    this.#at++;
    return key;
  }

  #quoteHere(): string | undefined {
    const code = this.#text.charCodeAt(this.#at);
    return code === DOUBLE_QUOTE ? '"' : code === SINGLE_QUOTE ? "'" : undefined;
  }

  #quoted(quote: string): ScalarNode | undefined {
    const start = this.#at;
    const close = this.#text.indexOf(quote, start + 1);
    const text = this.#text.slice(start + 1, close);
    this.#at = close + 1;
    const isDoubled = this.#text.charCodeAt(this.#at) === SINGLE_QUOTE;
    if (close < 0 || isDoubled || ESCAPED.test(text)) return undefined;
    return new ScalarNode(this.chunk, start, this.#at, text, text, 'quoted');
  }

  /** Words without quotes. */
  #bare(inFlow: boolean): ScalarNode | undefined {
    const start = this.#at;
    const end = this.#bareEnd(inFlow);
    if (end < 0) return undefined;
    const word = this.#text.slice(start, end);
    this.#at = end;
    return new ScalarNode(this.chunk, start, end, coreValue(word), word, 'plain');
  }

  /** Where the words end that begin here, before a colon that makes them a key; -1 where it gives up. */
  #bareEnd(inFlow: boolean): number {
    const text = this.#text;
    const start = this.#at;
    if (!opensWord(text, start)) return -1;
    let end = start;
    for (let at = start; at < text.length; at++) {
      const code = text.charCodeAt(at);
      if (code === SPACE) continue;
      if (isLineBreak(code) || (inFlow && isFlowIndicator(code))) break;
      if (code === HASH && text.charCodeAt(at - 1) === SPACE) break;
      if (code === COLON) {
        const next = text.charCodeAt(at + 1);
        if (isBlank(next)) return end === at ? end : -1;
        if (inFlow && isFlowIndicator(next)) return -1;
      } else if (!isPrintable(code)) return -1;
      end = at + 1;
    }
    return end;
  }

  #skipSpaces(): void {
    while (this.#text.charCodeAt(this.#at) === SPACE) this.#at++;
  }

  #isLineEnd(): boolean {
    const code = this.#text.charCodeAt(this.#at);
    return isLineBreak(code) || code === HASH || this.#at === this.#text.length;
  }

  /** Goes to the first word of the next line that has one; false where another word stands on this line. */
  #toNextLine(): boolean {
    const line = this.#skipBlank();
    if (line === undefined) return false;
    const isEnd = this.#at === this.#text.length;
    if (!isEnd && line < 0) return false;
    this.#indent = isEnd ? -1 : this.#at - line;
    return true;
  }

  /** Goes to the next word inside brackets; false where it stands too far left to be inside, or where there is none. */
  #toFlowWord(indent: number): boolean {
    const line = this.#skipBlank();
    if (line === undefined || this.#at === this.#text.length) return false;
    return line < 0 || this.#at - line > indent;
  }

  /** Skips spaces, comments and line ends. Gives the start of the line that it came to, -1 for the one that it was on. */
  #skipBlank(): number | undefined {
    const text = this.#text;
    let at = this.#at;
    let line = at === 0 ? 0 : -1;
    for (; at < text.length; at++) {
      const code = text.charCodeAt(at);
      if (code === LINE_FEED) line = at + 1;
      else if (code === HASH) {
        if (at > 0 && !isBlank(text.charCodeAt(at - 1))) return undefined;
        const end = text.indexOf('\n', at);
        at = (end < 0 ? text.length : end) - 1;
      } else if (code === RETURN) {
        if (text.charCodeAt(at + 1) !== LINE_FEED) return undefined;
      } else if (code !== SPACE) break;
    }
    this.#at = at;
    return line;
  }
}

function mappingOf(
  chunk: Chunk,
  start: number,
  end: number,
  flow: boolean,
  read: readonly Entry[],
): MappingNode | undefined {
  // A list that has grown holds room for more; the tree lives long, so its lists are cut to size.
  const mapping = new MappingNode(chunk, start, end, flow, read.slice());
  for (const { key, value } of read) {
    key.parent = mapping;
    value.parent = mapping;
    value.step = key.text;
  }
  const isRepeated = read.some((entry) => mapping.entry(entry.key.text) !== entry);
  return isRepeated ? undefined : mapping;
}

function sequenceOf(
  chunk: Chunk,
  start: number,
  end: number,
  flow: boolean,
  read: readonly Node[],
): SequenceNode {
  const sequence = new SequenceNode(chunk, start, end, flow, read.slice());
  read.forEach((item, index) => {
    item.parent = sequence;
    item.step = index;
  });
  return sequence;
}

/** What inside quotes is more than itself. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: it is these that are looked for
const ESCAPED = /[\u0000-\u001f\u007f-\u00a0\\\ufeff]/;
