import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Check, EngineSubject } from '../checks/check.ts';
import { thresholdsOf } from '../checks/thresholds.ts';
import type { QuantityValue } from '../configuration/values.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { type Node, pathOf, pathText } from '../source/tree.ts';

/** A number that a value should not pass. */
export interface LimitValue {
  /** In the value's canonical unit. */
  readonly value: number;
  /** The key path of the limit, or the id of the check that defines it. */
  readonly at: string;
  /** Where the limit is written; undefined for that of a check. */
  readonly node?: Node | undefined;
}

/** What a derived value or a bound is compared with. */
export interface Limit {
  readonly label: string;
  /** `most`: the value should not be above it; `least`: not below. */
  readonly side: 'most' | 'least';
  /** Undefined if the installation has no such limit. */
  find(held: HeldValue): LimitValue | undefined;
}

/** Everything that the limit of a value or a bound may depend on. */
export interface HeldValue {
  readonly subject: EngineSubject;
  /** The engine of the value, with its map set applied. */
  readonly configuration: EngineConfiguration;
  /** The place of a derived value; undefined for a bound. */
  readonly node?: Node | undefined;
  readonly point?: OperatingPoint | undefined;
  /** The fault under which a bound holds: `fault_pressure`, or `sensors.NAME`. */
  readonly fault?: string | undefined;
}

/** The threshold of a check, as set for this file. */
export const thresholdIn = (check: Check, name: string, { subject }: HeldValue): LimitValue => ({
  value: thresholdsOf(check, subject)[name]!,
  at: check.id,
});

export const threshold =
  (check: Check, name: string): Limit['find'] =>
  (held) =>
    thresholdIn(check, name, held);

/** A limit that the file states, or one that follows from what it states. */
export const stated = (
  quantity: QuantityValue | undefined,
  value = quantity?.canonical,
): LimitValue | undefined => (quantity && value !== undefined ? limitAt(quantity.node, value) : undefined);

export const limitAt = (node: Node, value: number): LimitValue => ({
  value,
  at: pathText(pathOf(node)),
  node,
});

export const most = (label: string, find: Limit['find']): Limit => ({ label, side: 'most', find });
export const least = (label: string, find: Limit['find']): Limit => ({ label, side: 'least', find });

/** A derived value and what it is compared with. */
export type ValueLimit = readonly [value: { readonly id: string }, limit: Limit];
