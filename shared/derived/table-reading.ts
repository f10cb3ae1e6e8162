import type { EngineConfiguration } from '../../generated/configuration.ts';
import { lookUp, type WhichTable } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { formatQuantity, type Quantity, splitUnit } from '../quantity/index.ts';
import type { DerivedValue, MaybeOperand, Operand, Result } from './value.ts';

/** Enough for the breakpoints and conditions of a file: tables are mostly read at numbers written in the file. */
const PLACE_DIGITS = 5;

/** A number read from a table, without the table: other versions of the engine may hold the same number. */
class TableReading implements Operand {
  constructor(
    readonly table: WhichTable,
    readonly x: number,
    readonly y: number | undefined,
    readonly canonical: number,
    readonly units: readonly [x: string, y: string | undefined],
  ) {}

  get how(): string {
    const at = [formatQuantity(this.x, this.units[0], PLACE_DIGITS)];
    if (this.units[1] !== undefined && this.y !== undefined)
      at.push(formatQuantity(this.y, this.units[1], PLACE_DIGITS));
    return `table at ${at.join(', ')}`;
  }
}

/** A number from a table together with the operands at which it was read, so that it can be read again at others. */
export class Lookup implements Operand {
  constructor(
    private readonly reading: TableReading,
    readonly x: Operand | DerivedValue | Result,
    /** Undefined for a curve. */
    readonly y: MaybeOperand,
  ) {}

  get canonical(): number {
    return this.reading.canonical;
  }
  get table(): WhichTable {
    return this.reading.table;
  }
  get how(): string {
    return this.reading.how;
  }
}

/** The value of a table at operands, without a cache; undefined without a complete table. */
export function lookUpOnce(
  which: WhichTable,
  configuration: EngineConfiguration,
  x: Operand,
): Lookup | undefined {
  const reading = new TableReadings().read(which, configuration, x.canonical, undefined);
  return reading && new Lookup(reading, x, undefined);
}

/** A cell as a number of the file, with the unit and the tolerance of its table. */
export function cellOperand(table: TableValue, index: number): Operand | undefined {
  const node = table.rows.flat()[index];
  const canonical = table.cells?.[index];
  if (!node || canonical === undefined) return undefined;
  const unit = splitUnit(table.unit)?.unit;
  const { tolerance } = table;
  const quantity: Quantity = {
    number: node.value as number,
    canonical,
    numberRange: [0, node.text.length],
    ...(unit && { unit }),
    ...(tolerance && { tolerance }),
  };
  return { canonical, node, quantity };
}

/** The numbers read from the tables of an engine. Most of them stay the same after an edit of a cell. */
export class TableReadings {
  readonly #all: TableReading[];

  /** Continues with the numbers read from another version of the engine. */
  constructor(earlier?: TableReadings) {
    this.#all = earlier ? [...earlier.#all] : [];
  }

  /** The value of a table, in canonical units; undefined without a complete table. */
  read(
    which: WhichTable,
    configuration: EngineConfiguration,
    x: number,
    y: number | undefined,
  ): TableReading | undefined {
    for (const known of this.#all) if (known.table === which && known.x === x && known.y === y) return known;
    const table = which(configuration);
    const canonical = table && lookUp(table, x, y);
    if (canonical === undefined) return undefined;
    const reading = new TableReading(which, x, y, canonical, [table!.x!.unit, table!.y?.unit]);
    this.#all.push(reading);
    return reading;
  }

  /** Whether another version of the engine, with the same axes, gives the same numbers. */
  areSameIn(before: EngineConfiguration, now: EngineConfiguration): boolean {
    return this.#all.every(({ table: which, x, y, canonical }) => {
      const table = which(now);
      return table === which(before) || (table && lookUp(table, x, y)) === canonical;
    });
  }
}
