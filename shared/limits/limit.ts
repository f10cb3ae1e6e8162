import type { EngineConfiguration } from '../../generated/configuration.ts';
import type { Check, EngineSubject } from '../checks/check.ts';
import { thresholdsOf } from '../checks/thresholds.ts';
import { allReadings } from '../configuration/readings.ts';
import type { QuantityValue } from '../configuration/values.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { memo } from '../memo.ts';
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
  /** The ids of the checks that report a value beyond it. */
  readonly checks: readonly string[];
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

const threshold =
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

const valuesByNode = memo(
  ({ read }: EngineSubject) => new Map(allReadings(read).map(({ node, value }) => [node, value])),
);

/** The quantity written at the value's own place. */
export const writtenThere: Limit['find'] = ({ node, subject }) => {
  const written = node && valuesByNode(subject).get(node);
  return written?.type === 'quantity' ? stated(written) : undefined;
};

type MakeLimit = (label: string, find: Limit['find'], ...checks: readonly [Check, ...Check[]]) => Limit;

const limitOn =
  (side: Limit['side']): MakeLimit =>
  (label, find, ...checks) => ({ label, side, find, checks: checks.map(({ id }) => id) });

export const most = limitOn('most');
export const least = limitOn('least');

/** The threshold of a check, which reports a value beyond it. */
export const mostOf = (label: string, check: Check, name: string): Limit =>
  most(label, threshold(check, name), check);
export const leastOf = (label: string, check: Check, name: string): Limit =>
  least(label, threshold(check, name), check);

/** A derived value and what it is compared with. */
export type ValueLimit = readonly [value: { readonly id: string }, limit: Limit];
