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

/** More deeply nested text is left to the library, which reports what is wrong with it. */
const DEEPEST = 32;
/** YAML requires the colon of a key within 1024 characters. */
const LONGEST_KEY = 1000;

/**
 * Reads plain YAML: keys, lists, words, numbers, quoted text and brackets, which is nearly every line of a
 * configuration. At any character that may mean something else (an anchor, a folded scalar, an error) it gives up, and
 * the YAML library parses the chunk instead. Both give the same tree, which a test verifies. The library takes ten
 * times as long; used alone, it took a third of the time to open a file.
 */
export function readPlain(chunk: Chunk): MappingNode | undefined {
  return new PlainReader(chunk).read();
}

/** Each method that reads something leaves `#at` after it, and returns undefined if it gives up. */
class PlainReader {
  readonly #text: string;
  #at = 0;
  /** The column of the word at `#at` if it is the first on its line; -1 at the end of the text. */
  #indent = -1;
  #depth = 0;
  /** The number of keys and values so far, without the root. */
  #nodes = 0;

  constructor(readonly chunk: Chunk) {
    this.#text = chunk.parsedText;
  }

  read(): MappingNode | undefined {
    if (!this.#toNextLine() || this.#indent < 0) return undefined;
    const root = this.#mapping(this.#key());
    return this.#indent < 0 && this.#nodes < MAX_NODES ? root : undefined;
  }

  /** Reads the rest of a mapping after its first key. */
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

  /** Reads the value of a key, on the same line or on the lines below. */
  #valueOf(indent: number): Node | undefined {
    this.#skipSpaces();
    const at = this.#at;
    if (!this.#isLineEnd()) return this.#lineOf(indent);
    if (!this.#toNextLine()) return undefined;
    if (this.#indent > indent) return this.#block(indent);
    // A list may have the same indentation as its key; that is left to the library.
    if (this.#indent === indent && this.#text.charCodeAt(this.#at) === DASH) return undefined;
    return new ScalarNode(this.chunk, at, at, null, '', 'empty');
  }

  /** Reads a block that begins on its own line, indented more than `indent`. */
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

  /** Reads a value that ends with its line or with its closing bracket. */
  #lineOf(indent: number): Node | undefined {
    const value = this.#word(indent, false);
    // A next line with more indentation would continue this value.
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

  /** Reads items and commas up to the closing bracket; returns false if it gives up. */
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

  /** Reads a mapping whose keys are at the column `within` if there is a key here, otherwise a value on one line. */
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

  /** Reads unquoted words. */
  #bare(inFlow: boolean): ScalarNode | undefined {
    const start = this.#at;
    const end = this.#bareEnd(inFlow);
    if (end < 0) return undefined;
    const word = this.#text.slice(start, end);
    this.#at = end;
    return new ScalarNode(this.chunk, start, end, coreValue(word), word, 'plain');
  }

  /** The end of the unquoted words that begin here, before the colon if they are a key; -1 if it gives up. */
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

  /** Moves to the first word on a later line; returns false if there is another word on this line. */
  #toNextLine(): boolean {
    const line = this.#skipBlank();
    if (line === undefined) return false;
    const isEnd = this.#at === this.#text.length;
    if (!isEnd && line < 0) return false;
    this.#indent = isEnd ? -1 : this.#at - line;
    return true;
  }

  /** Moves to the next word inside brackets; returns false if there is none or it is not indented enough. */
  #toFlowWord(indent: number): boolean {
    const line = this.#skipBlank();
    if (line === undefined || this.#at === this.#text.length) return false;
    return line < 0 || this.#at - line > indent;
  }

  /**
   * Skips spaces, comments and line ends. Returns the start of the line reached, or -1 if it is still the same line.
   */
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
  // An array that has grown has spare capacity. `slice` drops it, because trees live long.
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

/** Characters that, inside quotes, do not stand for themselves. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: the pattern must match them
const ESCAPED = /[\u0000-\u001f\u007f-\u00a0\\\ufeff]/;
