import type { EngineConfiguration } from '../../generated/configuration.ts';
import { lookUp } from '../configuration/lookup.ts';
import type { TableValue } from '../configuration/values.ts';
import { formatQuantity } from '../quantity/index.ts';
import type { Node } from '../source/tree.ts';
import type { Operand } from './value.ts';

/** Which table of an engine is read. It finds the same one again in the next version of the file. */
export type WhichTable = (configuration: EngineConfiguration) => TableValue | undefined;

/** A number read from a table. It is asked how it was found far less often than it is read. */
class TableReading implements Operand {
  constructor(
    readonly which: WhichTable,
    public table: TableValue,
    readonly x: number,
    readonly y: number | undefined,
    readonly canonical: number,
  ) {}

  get node(): Node {
    return this.table.node;
  }

  get how(): string {
    const at = [formatQuantity(this.x, this.table.x!.unit)];
    if (this.table.y && this.y !== undefined) at.push(formatQuantity(this.y, this.table.y.unit));
    return `table at ${at.join(', ')}`;
  }

  isOf(which: WhichTable, x: number, y: number | undefined): boolean {
    return this.which === which && this.x === x && this.y === y;
  }

  isSameIn(table: TableValue | undefined): boolean {
    return table === this.table || (table !== undefined && lookUp(table, this.x, this.y) === this.canonical);
  }
}

/**
 * What was read from the tables of an engine. After an edit of a cell most readings are what they were, and what follows
 * from them still holds.
 */
export class TableReadings {
  readonly #all: TableReading[] = [];

  /** What a table holds at a place, in canonical units; undefined where there is no whole table. */
  read(
    which: WhichTable,
    configuration: EngineConfiguration,
    x: number,
    y: number | undefined,
  ): Operand | undefined {
    for (const known of this.#all) if (known.isOf(which, x, y)) return known;
    const table = which(configuration);
    const canonical = table && lookUp(table, x, y);
    if (canonical === undefined) return undefined;
    const reading = new TableReading(which, table!, x, y, canonical);
    this.#all.push(reading);
    return reading;
  }

  /** Whether the tables of another version of the engine hold the same; if so, they are what was read. */
  follow(configuration: EngineConfiguration): boolean {
    for (const reading of this.#all) if (!reading.isSameIn(reading.which(configuration))) return false;
    for (const reading of this.#all) reading.table = reading.which(configuration)!;
    return true;
  }
}
