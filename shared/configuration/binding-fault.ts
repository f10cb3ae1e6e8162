import type { QuantityFault } from '../quantity/index.ts';
import type { Kind } from '../quantity/kinds.ts';
import type { MappingNode, ScalarNode } from '../source/tree.ts';
import type { CommaSplit } from './comma.ts';
import type { Shape } from './shape.ts';

/** A text that should be a quantity but cannot be read as one. */
export interface MisreadQuantity {
  readonly type: 'quantity';
  readonly node: ScalarNode;
  readonly kind: Kind;
  readonly shape: Shape;
  readonly fault: QuantityFault;
}

export interface MissingKey {
  readonly type: 'missing-key';
  readonly mapping: MappingNode;
  readonly key: string;
  readonly shape: Shape;
}

/** A text that is still to be filled in. */
export interface OpenText {
  readonly type: 'placeholder';
  readonly node: ScalarNode;
  readonly shape: Shape;
}

/** A pair of quantities in braces that is split by a decimal comma. */
export interface CommaInPair extends CommaSplit {
  readonly type: 'comma';
  readonly node: ScalarNode;
}

export type BindingFault = MisreadQuantity | MissingKey | OpenText | CommaInPair;
