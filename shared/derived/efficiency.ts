import type { EngineConfiguration } from '../../generated/configuration.ts';
import { brakeThermalEfficiency } from '../physics/cylinder.ts';
import { grades } from '../physics/fuels.ts';
import { apply, type MaybeOperand, type Result } from './value.ts';

/** The share of the fuel's heat that reaches the crank at the stated specific consumption. */
export function brakeEfficiency({ engine, fuel }: EngineConfiguration): Result | undefined {
  return apply(brakeThermalEfficiency, {
    specificConsumption: engine?.specific_consumption,
    heatingValue: heatingValue(fuel),
  });
}

/** The lower heating value (J/kg) that the file states, or else that of its grade. */
export function heatingValue(fuel: EngineConfiguration['fuel']): MaybeOperand {
  const { lower_heating_value: written, grade } = fuel ?? {};
  if (written || !grade) return written;
  const { lowerHeatingValue: canonical, sources } = grades[grade.text];
  return { canonical, node: grade.node, how: `of ${grade.text}`, source: sources.lowerHeatingValue };
}
