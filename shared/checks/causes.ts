import type { EngineConfiguration } from '../../generated/configuration.ts';
import { sensorsMeasuring } from '../derived/sensor-reading.ts';
import { measuredQuantity } from '../quantity/index.ts';

/**
 * The cause of whatever follows from a missing sensor. Of several of a kind, such as one per cylinder, each missing one
 * is a cause of its own if another exists; if all are missing, that is one cause.
 */
export function missingSensor(quantity: string, isOtherThere = false): string {
  const name = measuredQuantity(quantity)?.entry.name ?? quantity;
  return `no sensor measures ${isOtherThere ? quantity : name}`;
}

/** The same, if no sensor measures the quantity. */
export function causeIfUnmeasured(configuration: EngineConfiguration, quantity: string): string | undefined {
  return sensorsMeasuring(configuration, quantity).length > 0 ? undefined : missingSensor(quantity);
}

/** The cause of whatever follows from a missing light. */
export const missingLight = (meaning: string): string => `no output drives a ${meaning} light`;

/** The cause of whatever names a cylinder that the engine does not have. */
export const unknownCylinder = (cylinder: number): string => `no cylinder ${cylinder}`;
