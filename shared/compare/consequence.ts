import type { BoundConsequence } from './bounds.ts';
import type { FaultConsequence } from './faults.ts';
import type { FindingConsequence } from './findings.ts';
import type { ValueConsequence } from './values.ts';

export type Consequence = ValueConsequence | BoundConsequence | FaultConsequence | FindingConsequence;
