import type { EngineConfiguration } from '../../generated/configuration.ts';
import { brakeThermalEfficiency } from '../physics/cylinder.ts';
import { lowerHeatingValue } from './fuel.ts';
import { apply, type Result } from './value.ts';

/** The share of the fuel's heat that reaches the crank at the stated specific consumption. */
export function brakeEfficiency(configuration: EngineConfiguration): Result | undefined {
  return apply(brakeThermalEfficiency, {
    specificConsumption: configuration.engine?.specific_consumption,
    heatingValue: lowerHeatingValue(configuration),
  });
}
