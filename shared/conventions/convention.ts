/** How a convention places and scales a parameter. Numbers are in the units of an engine file. */
export interface Coding {
  /** The name of its data type in the header, if the convention has one. */
  readonly type?: string;
  readonly startBit: number;
  readonly bits: number;
  readonly byteOrder: 'little' | 'big';
  readonly signed: boolean;
  readonly isFloat: boolean;
  /** The value of one count, and that of a count of zero: `0.125 rpm`, `-40 °C`, `0 kPa gauge`. */
  readonly scale: string;
  readonly offset: string;
}

/** One parameter of a message. */
export interface PublishedParameter {
  /** In the words of the convention. */
  readonly name: string;
  /** The quantity of the engine file that it is; undefined if the file format has none. */
  readonly quantity: string | undefined;
  /** The permitted codings, the suggested one first; empty for status bits. */
  readonly codings: readonly Coding[];
}

/** What a convention sends under one identifier. */
export interface Published {
  readonly title: string;
  readonly parameters: readonly PublishedParameter[];
  /** The permitted data types, if the convention states the type in a header. */
  readonly types?: readonly string[];
}
