import type { FaultKind } from '../derived/loss.ts';
import type { FaultSeverity } from './severity.ts';
import { SEVERITIES } from './severity.ts';

/** How something fails. */
export const FAULT_KINDS: Readonly<Record<FaultKind, string>> = {
  substitute: 'failed, substitute value used',
  low: 'reads the low end of its range',
  high: 'reads the high end of its range',
  open: 'open circuit',
  shorted_to_ground: 'shorted to ground',
  shorted_to_supply: 'shorted to supply',
  lost: 'lost',
};

/** The severities, the worst first. */
export const FAULT_SEVERITIES = Object.keys(SEVERITIES) as FaultSeverity[];
