import type { Dimension, PressureReference } from './kinds.ts';
import { nearestUnit } from './nearest.ts';
import type { Unit } from './unit.ts';
import { unitNamed } from './units.ts';

/** A unit beside a number or under the key `unit`; a pressure unit without a reference word means a difference. */
export interface UnitReading {
  readonly unit: Unit;
  readonly reference?: PressureReference;
}

export const referenceWords = { absolute: 'abs', gauge: 'gauge', difference: '' } as const;

/** What is wrong with a unit's text, and where in it. */
export interface UnitFault {
  readonly fault: 'unit-unknown' | 'reference-unexpected';
  readonly range: readonly [start: number, end: number];
  readonly unitText: string;
  readonly unit?: Unit;
  readonly suggestion?: Unit;
  /** The text to replace the range. */
  readonly suggestedText?: string;
}

/** `kPa abs` split into unit and reference; undefined for an unknown unit. */
export function splitUnit(text: string): UnitReading | undefined {
  if (known.has(text)) return known.get(text);
  const read = readUnit(text.trim());
  const reading = 'fault' in read ? undefined : read;
  if (known.size < MOST_KNOWN) known.set(text, reading);
  return reading;
}

/** The unit of a difference between two values in a unit: kelvins for temperatures, and no pressure reference. */
export const differenceUnit = (unit: string): string =>
  splitUnit(unit)?.unit.dimension === 'temperature' ? 'K' : unit.replace(/ (abs|gauge)$/, '');

/** Cache of the few units in use; limited, so that a file full of invented ones cannot fill the memory. */
const known = new Map<string, UnitReading | undefined>();
const MOST_KNOWN = 500;

/** `kPa abs`: how a unit is written, with its reference word. */
export function formatUnit(unit: Unit, reference?: PressureReference): string {
  return `${unit.symbol} ${reference === undefined ? '' : referenceWords[reference]}`.trimEnd();
}

/** Reads a unit with its reference word, or reports what cannot be read. `text` has no surrounding blanks. */
export function readUnit(text: string, dimension?: Dimension): UnitReading | UnitFault {
  const words = [...text.matchAll(/\S+/g)];
  const ends = words.map((word) => word.index + word[0].length);
  for (let count = words.length; count > 0; count--) {
    const head = unitNamed(text.slice(0, ends[count - 1]));
    if (head) return withReference(text, head, words[count]?.index);
  }
  // No known unit at the start: everything but a reference word at the end is unknown.
  const last = words.at(-1)!;
  const hasReference = words.length > 1 && (last[0] === 'abs' || last[0] === 'gauge');
  const end = hasReference ? ends.at(-2)! : text.length;
  return unknown(text, 0, end, suggestion(text.slice(0, end), dimension, hasReference));
}

function withReference(text: string, unit: Unit, start: number | undefined): UnitReading | UnitFault {
  const isPressure = unit.dimension === 'pressure';
  if (start === undefined) return isPressure ? { unit, reference: 'difference' } : { unit };
  const word = text.slice(start);
  const reference = referenceNamed(word);
  if (!reference || !isPressure) {
    if (reference)
      return { fault: 'reference-unexpected', range: [start, text.length], unitText: word, unit };
    return unknown(text, start, text.length);
  }
  const spelling = referenceWords[reference];
  if (word === spelling) return { unit, reference };
  return unknown(text, start, text.length, { suggestion: unit, suggestedText: spelling });
}

type Suggestion = Pick<UnitFault, 'suggestion' | 'suggestedText'>;

function unknown(text: string, start: number, end: number, suggested: Suggestion = {}): UnitFault {
  return { fault: 'unit-unknown', range: [start, end], unitText: text.slice(start, end), ...suggested };
}

/** Spellings of the reference that are recognised but not accepted, so that files are uniform. */
function referenceNamed(word: string): 'absolute' | 'gauge' | undefined {
  if (/^\(?(a|abs|absolute)\)?$/i.test(word)) return 'absolute';
  if (/^\(?(g|gauge|gage|guage)\)?$/i.test(word)) return 'gauge';
  return undefined;
}

function suggestion(text: string, dimension: Dimension | undefined, hasReference: boolean): Suggestion {
  const joined = /^(.+?)[-_\s]?(\(?(?:abs|absolute|a|gauge|gage|g)\)?)$/i.exec(text);
  const pressure = joined && !hasReference ? nearestUnit(joined[1]!, 'pressure') : undefined;
  if (pressure?.names.some((name) => name.toLowerCase() === joined![1]!.toLowerCase())) {
    return { suggestion: pressure, suggestedText: formatUnit(pressure, referenceNamed(joined![2]!)) };
  }
  const nearest =
    unitNamed(words.get(text.toLowerCase()) ?? '') ??
    withPrefix(text, nearestUnit(text, dimension) ?? nearestUnit(text));
  return nearest ? { suggestion: nearest, suggestedText: nearest.symbol } : {};
}

/** Names of units in words, which are not misspelt symbols. */
const words: ReadonlyMap<string, string> = new Map(
  Object.entries({
    '%': ['percent', 'per cent', 'pct'],
    m: ['metre', 'metres', 'meter', 'meters'],
    mm: ['millimetre', 'millimetres', 'millimeter', 'millimeters'],
    in: ['inch', 'inches'],
    ft: ['foot', 'feet'],
    s: ['second', 'seconds'],
    h: ['hour', 'hours'],
    K: ['kelvin', 'kelvins', '°k', 'degk'],
    '°C': ['celsius'],
    '°F': ['fahrenheit'],
    V: ['volt', 'volts'],
    A: ['amp', 'amps', 'ampere', 'amperes'],
    W: ['watt', 'watts'],
    Hz: ['hertz'],
    kt: ['knot', 'knots'],
    'kbit/s': ['kbaud'],
  }).flatMap(([symbol, spoken]) => spoken.map((word) => [word, symbol] as const)),
);

/** `msec` is not a misspelt `sec`, nor `kft` a misspelt `ft`: a prefix means a factor of a thousand. */
function withPrefix(text: string, nearest: Unit | undefined): Unit | undefined {
  const prefixed = /^([kMmu\u00b5\u03bc])(.+)$/.exec(text);
  if (!prefixed || !nearest?.names.includes(prefixed[2]!)) return nearest;
  return unitNamed(`${prefixed[1]}${nearest.symbol}`);
}
