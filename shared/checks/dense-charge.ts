/** Below this manifold pressure (Pa) the charge is too thin to detonate. */
export const LOWEST_PRESSURE = 80e3;

/** Fuels so much more knock-resistant than gasoline that limits of advance do not apply to them. */
export const ALCOHOLS: ReadonlySet<string> = new Set(['e85', 'ethanol', 'methanol']);
