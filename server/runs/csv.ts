import papaparse from 'papaparse';
import type { Column, Columns } from '../../shared/runs/columns.ts';
import { type LineReader, readLines } from './csv-lines.ts';
import { lastNumber, readNumber } from './csv-number.ts';

/**
 * Reads logged data. Plain lines of numbers, which is nearly every line of a log, are read byte by byte; records with
 * quotation marks go to Papa Parse 5.7.1, which reports unclosed and misplaced ones. Compared with it: udsv 0.7.3 drops a short last
 * line silently, d3-dsv 3.0.2 takes an unclosed quotation mark as the rest of the file, csv-parse 7.0.3 takes twenty times as
 * long.
 */
export interface CsvTarget {
  /** The names and units of the first two lines; returns how to read the columns. */
  begin(names: readonly string[], units: readonly string[]): CsvRows;
}

export interface CsvRows {
  readonly columns: Columns;
  /** The length of a row, which may be more than the columns. */
  readonly length: number;
  /** A row of canonical numbers. It is reused for the next one. */
  row(row: Float64Array, line: number, index: number): void;
  refuse(line: number, reason: string): void;
  /** The number that stands for a name in a column of names; undefined for an unknown one. */
  named(text: string): number | undefined;
  /** The decimals that the numbers of a column show so far. */
  readonly decimals: Uint8Array;
}

/** The data cannot be read at all; the message says why. */
export class CsvError extends Error {}

/** A record with a quotation mark may be as long as this. An unclosed one would otherwise swallow the rest of the file. */
const MOST_LINES = 50;
const [QUOTE, SPACE, TAB] = [34, 32, 9];

const decoder = new TextDecoder();

/** Reads a file of comma-separated values. Rejects with a `CsvError` if its first two lines cannot be read. */
export async function readCsv(path: string, target: CsvTarget): Promise<void> {
  const reader = new CsvReader(target);
  await readLines(path, reader);
  reader.finish();
}

class CsvReader implements LineReader {
  #rows: CsvRows | undefined;
  #columns: readonly Column[] = [];
  #values = new Float64Array(0);
  #names: string[] | undefined;
  #delimiter = ',';
  #separator = 44;
  #allowsComma = false;
  #index = -1;
  /** The lines of a record whose quotation mark is still open. */
  #open: { number: number; text: string }[] = [];

  constructor(readonly target: CsvTarget) {}

  line(bytes: Uint8Array, from: number, to: number, number: number, quotes: boolean): void {
    if (this.#rows && this.#open.length === 0 && !quotes) this.#plain(bytes, from, to, number);
    else this.#text({ number, text: decoder.decode(bytes.subarray(from, to)) });
  }

  tooLong(number: number): void {
    if (!this.#rows) throw new CsvError('The first line is too long.');
    this.#index++;
    this.#rows.refuse(number, 'it is too long');
  }

  finish(): void {
    if (this.#open.length > 0) this.#giveUp();
    if (!this.#rows)
      throw new CsvError('The data need a first line with names and a second line with units.');
  }

  /** A line without quotation marks, in a file whose columns are known. */
  #plain(bytes: Uint8Array, from: number, to: number, number: number): void {
    const columns = this.#columns;
    const separator = this.#separator;
    let column = 0;
    let start = from;
    for (;;) {
      let end = start;
      while (end < to && bytes[end] !== separator) end++;
      if (column >= columns.length) {
        column++;
        if (end >= to) break;
        start = end + 1;
        continue;
      }
      if (columns.length === 1 || column > 0 || end < to) {
        const problem = this.#field(bytes, start, end, column);
        if (problem !== undefined) {
          this.#refuse(number, problem);
          return;
        }
      } else if (isBlank(bytes, start, end)) return;
      column++;
      if (end >= to) break;
      start = end + 1;
    }
    if (column !== columns.length) {
      // An empty line is no row.
      if (isBlank(bytes, from, to)) return;
      this.#refuse(number, `it has ${column} fields and the first line ${columns.length}`);
      return;
    }
    this.#rows!.row(this.#values, number, ++this.#index);
  }

  /** Reads one field into the row; returns why it cannot be read. */
  #field(bytes: Uint8Array, from: number, to: number, at: number): string | undefined {
    const column = this.#columns[at]!;
    if (column.type === 'unused') return undefined;
    if (column.type === 'name' || column.type === 'flag') return this.#word(column, at, bytes, from, to);
    const value = readNumber(bytes, from, to, this.#allowsComma);
    if (lastNumber.isBad)
      return `\`${decoder.decode(bytes.subarray(from, Math.min(to, from + 40))).trim()}\` in column \`${column.name}\` is not a number`;
    const { decimals } = this.#rows!;
    if (lastNumber.decimals > decimals[at]!) decimals[at] = Math.min(255, lastNumber.decimals);
    const { divisor, factor, offset } = column;
    this.#values[at] = (divisor === undefined ? value * factor : value / divisor) + offset;
    return undefined;
  }

  #word(column: Column, at: number, bytes: Uint8Array, from: number, to: number): string | undefined {
    const text = decoder.decode(bytes.subarray(from, to)).trim();
    const found =
      text === '' ? Number.NaN : column.type === 'flag' ? FLAGS[text.toLowerCase()] : this.#rows!.named(text);
    if (found === undefined) {
      const what = column.type === 'flag' ? 'neither 0 nor 1' : 'not a map set';
      return `\`${text.slice(0, 40)}\` in column \`${column.name}\` is ${what}`;
    }
    this.#values[at] = found;
    return undefined;
  }

  #text(line: { number: number; text: string }): void {
    if (!this.#rows) {
      this.#head(line.text);
      return;
    }
    this.#open.push(line);
    const record = this.#open.map(({ text }) => text).join('\n');
    if (quotesIn(record) % 2 === 0) {
      const { number } = this.#open[0]!;
      this.#open = [];
      this.#record(record, number);
    } else if (this.#open.length >= MOST_LINES) this.#giveUp();
  }

  /** Refuses the first line of a record that does not end, and reads the others for themselves. */
  #giveUp(): void {
    const [first, ...others] = this.#open;
    this.#open = [];
    this.#refuse(first!.number, 'a quotation mark is not closed');
    for (const line of others) {
      if (this.#open.length > 0 || line.text.includes('"')) this.#text(line);
      else {
        const bytes = new TextEncoder().encode(line.text);
        this.#plain(bytes, 0, bytes.length, line.number);
      }
    }
    if (this.#open.length > 0) this.#giveUp();
  }

  /** A record with quotation marks. */
  #record(text: string, number: number): void {
    if (text.trim() === '') return;
    const { data, errors } = papaparse.parse<string[]>(text, { delimiter: this.#delimiter });
    const [fields = []] = data;
    if (errors.some(({ type }) => type === 'Quotes')) {
      this.#refuse(number, 'a quotation mark is misplaced');
      return;
    }
    if (fields.length !== this.#columns.length) {
      this.#refuse(number, `it has ${fields.length} fields and the first line ${this.#columns.length}`);
      return;
    }
    for (const [at, field] of fields.entries()) {
      const bytes = new TextEncoder().encode(field);
      const problem = this.#field(bytes, 0, bytes.length, at);
      if (problem === undefined) continue;
      this.#refuse(number, problem);
      return;
    }
    this.#rows!.row(this.#values, number, ++this.#index);
  }

  #refuse(number: number, reason: string): void {
    this.#index++;
    this.#rows!.refuse(number, reason);
  }

  /** The first two lines. */
  #head(text: string): void {
    if (text.includes('\0')) throw new CsvError('The data are not a text in UTF-8.');
    if (!this.#names) {
      const line = text.replace(/^\ufeff/, '');
      if (line.trim() === '') throw new CsvError('The first line of the data is empty; it must give names.');
      this.#delimiter = delimiterOf(line);
      this.#separator = this.#delimiter.charCodeAt(0);
      // A decimal comma can be told from the separator only where that is another character.
      this.#allowsComma = this.#delimiter !== ',';
      this.#names = this.#fields(line);
      return;
    }
    const units = this.#fields(text);
    if (units.length !== this.#names.length)
      throw new CsvError(
        `The second line of the data, which gives units, has ${units.length} fields, and the first line ${this.#names.length}.`,
      );
    this.#rows = this.target.begin(this.#names, units);
    this.#columns = this.#rows.columns.all;
    this.#values = new Float64Array(this.#rows.length);
  }

  #fields(line: string): string[] {
    return papaparse.parse<string[]>(line, { delimiter: this.#delimiter }).data[0] ?? [];
  }
}

const FLAGS: Readonly<Record<string, number>> = { '0': 0, '1': 1, off: 0, on: 1, false: 0, true: 1 };

const quotesIn = (text: string): number => text.split('"').length - 1;

function isBlank(bytes: Uint8Array, from: number, to: number): boolean {
  for (let at = from; at < to; at++)
    if (bytes[at] !== SPACE && bytes[at] !== TAB && bytes[at] !== QUOTE) return false;
  return true;
}

/** The most frequent separator outside quotation marks; a comma if there is none. */
function delimiterOf(line: string): string {
  const bare = line.replace(/"[^"]*"/g, '');
  const counts = [',', ';', '\t'].map((mark) => [mark, bare.split(mark).length] as const);
  return counts.reduce((best, one) => (one[1] > best[1] ? one : best))[0];
}
