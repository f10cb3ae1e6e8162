import type { Installation } from '../configuration/installation.ts';
import { engineVolume, turnsPerCycle } from '../derived/cylinder.ts';
import { fuelDensity, lowerHeatingValue, stoichiometricRatio } from '../derived/fuel.ts';
import { fillingMapOf } from './filling-sum.ts';
import { watchedLimits } from './limits.ts';

/**
 * What the sums of a run depend on, as a text of canonical numbers: the maps of volumetric efficiency and the limits with every
 * map set, and the numbers of engine and fuel. Sums are merged only if it is the same.
 */
export function engineText({ engines, configuration }: Installation): string {
  const { engine, fuel } = configuration;
  const tables = new Set(engines.map((one) => one.configuration.fuel?.volumetric_efficiency));
  const limits = new Map(
    engines.flatMap((one) => watchedLimits(one.configuration)).map(({ at, ...limit }) => [at, limit]),
  );
  return JSON.stringify({
    maps: [...tables].map(fillingMapOf),
    limits: [...limits].map(([at, { threshold, hysteresis, delay, light }]) => [
      at,
      threshold.type === 'table'
        ? [threshold.x?.breakpoints, threshold.cells && [...threshold.cells]]
        : threshold.canonical,
      ...[hysteresis, delay, light],
    ]),
    numbers: [
      engineVolume(configuration),
      turnsPerCycle(configuration),
      engine?.cylinders,
      fuel?.injectors?.static_flow,
      fuelDensity(configuration),
      stoichiometricRatio(configuration),
      lowerHeatingValue(configuration),
    ].map((one) => one?.canonical),
  });
}
