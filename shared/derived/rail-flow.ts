import { nodeOf } from '../configuration/values.ts';
import { heldAt } from './cell.ts';
import type { FileValue } from './derivation.ts';
import { injectorFlow } from './fuel.ts';
import { SEA_LEVEL } from './full-load.ts';
import { derivedValue } from './value.ts';

/** Injector flow at the set rail pressure; with a fixed regulator, with the manifold at sea-level ambient pressure. */
export const injectorFlowAtRailPressure: FileValue = {
  id: 'injector_flow_at_rail_pressure',
  label: 'Injector flow at rail pressure',
  derive({ installation: { engines } }) {
    const [engine] = engines;
    const staticFlow = engine?.configuration.fuel?.injectors?.static_flow;
    if (!engine || !staticFlow) return [];
    const still = heldAt(engine, staticFlow.node, { canonical: 0 }, { canonical: SEA_LEVEL, how: 'ambient' });
    const flow = still.get(injectorFlow);
    return flow ? [derivedValue(injectorFlowAtRailPressure, flow.result, nodeOf(staticFlow))] : [];
  },
};
