import type { EngineConfiguration } from '../../generated/configuration.ts';
import { cylindersOf, isFuelPump, type NamedOutput, outputsThatDrive } from '../derived/loads.ts';
import type { Loss } from '../derived/loss.ts';
import { lostQuantities } from './lost.ts';

/** What a fault leaves of one cylinder. */
export interface CylinderState {
  readonly cylinder: number;
  readonly isWithoutFuel: boolean;
  readonly isWithoutSpark: boolean;
  /** One of several ignition outputs is lost. */
  readonly hasFewerSparks: boolean;
  /** Injector outputs of the cylinder, and how many of them still work. */
  readonly injectors: number;
  readonly working: number;
  /** An injector that never closes. */
  readonly isFlooded: boolean;
}

/** The cylinders that a fault changes. */
export function cylindersChanged(configuration: EngineConfiguration, loss: Loss): readonly CylinderState[] {
  const count = configuration.engine?.cylinders?.canonical ?? 0;
  if (!Number.isInteger(count) || count > 24) return [];
  const injectorsOf = servers(outputsThatDrive(configuration, 'injector'));
  const sparksOf = servers(outputsThatDrive(configuration, 'ignition'));
  const isLost = ({ name }: NamedOutput) => loss.outputs.has(name);
  return Array.from({ length: count }, (_, i) => i + 1).flatMap((cylinder) => {
    const [injectors, sparks] = [injectorsOf(cylinder), sparksOf(cylinder)];
    const working = injectors.filter((one) => !isLost(one)).length;
    const firing = sparks.filter((one) => !isLost(one)).length;
    const isFlooded = injectors.some(({ name }) => loss.held.has(name));
    if (working === injectors.length && firing === sparks.length && !isFlooded) return [];
    return [
      {
        cylinder,
        isWithoutFuel: injectors.length > 0 && working === 0,
        isWithoutSpark: sparks.length > 0 && firing === 0,
        hasFewerSparks: firing > 0 && firing < sparks.length,
        injectors: injectors.length,
        working,
        isFlooded,
      },
    ];
  });
}

/** The outputs that serve a cylinder; an output that names no cylinder serves all of them. */
const servers =
  (outputs: readonly NamedOutput[]) =>
  (cylinder: number): readonly NamedOutput[] =>
    outputs.filter(({ output }) => {
      const named = cylindersOf(output);
      return named.length === 0 || named.includes(cylinder);
    });

/** Why no cylinder fires, whatever the injectors and coils do; undefined if that is not so. */
export function whyEngineStops(configuration: EngineConfiguration, loss: Loss): string | undefined {
  if (loss.controller) return 'the controller stops';
  if (lostQuantities(configuration, loss)('crank_position')) return 'the crank position is unknown';
  const pump = [...loss.outputs].find((name) => isFuelPump(configuration, name));
  return pump === undefined ? undefined : `\`${pump}\` no longer runs the fuel pump`;
}
