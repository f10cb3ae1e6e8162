import type { EngineConfiguration, FuelCylinderTrim } from '../../generated/configuration.ts';
import type { QuantityValue } from '../configuration/values.ts';
import { memo } from '../memo.ts';
import * as physics from '../physics/trim.ts';
import { duty, fuelMassPerCycle, fuelVolumeFlow, injectorFlow, pulseWidth, targetLambda } from './fuel.ts';
import type { OperatingPoint, PointValue } from './operating-point.ts';
import { apply, type MaybeOperand, type Result, withNote } from './value.ts';

/** A cylinder with a fuel trim. */
interface Trimmed {
  readonly cylinder: string;
  readonly trim: QuantityValue;
}

/**
 * The cylinders whose trims add and remove most; undefined if none does. Only these have values of their own: every other
 * cylinder is between them, or between one of them and a cylinder without a trim.
 */
const extremes = memo((trims: FuelCylinderTrim, cylinders: number) => {
  const sorted = Object.entries(trims)
    .filter(([cylinder]) => Number(cylinder) <= cylinders)
    .map(([cylinder, trim]): Trimmed => ({ cylinder, trim }))
    .sort((a, b) => a.trim.canonical - b.trim.canonical);
  const [leanest, richest] = [sorted[0], sorted.at(-1)];
  return {
    leanest: leanest && leanest.trim.canonical < 0 ? leanest : undefined,
    richest: richest && richest.trim.canonical > 0 ? richest : undefined,
  };
});

type Which = 'leanest' | 'richest';

const trimmed = ({ fuel, engine }: EngineConfiguration, which: Which): Trimmed | undefined =>
  fuel?.cylinder_trim && extremes(fuel.cylinder_trim, engine?.cylinders?.canonical ?? Infinity)[which];

/** A value of the leanest or richest cylinder; its note names the cylinder. */
function ofCylinder(
  which: Which,
  id: string,
  label: string,
  derive: (point: OperatingPoint, trim: QuantityValue) => Result | undefined,
): PointValue {
  return {
    id: `${id}_of_${which}_cylinder`,
    label: `${label} of the ${which} cylinder`,
    derive(point) {
      const found = trimmed(point.configuration, which);
      const result = found && derive(point, found.trim);
      return result && withNote(result, `cylinder ${found.cylinder}`);
    },
  };
}

const fuelMassOf = (which: Which) =>
  ofCylinder(which, 'fuel_mass_per_cycle', 'Fuel mass per cycle', (point, trim) =>
    apply(physics.trimmedFuelMass, { fuelMass: point.get(fuelMassPerCycle), trim }),
  );

const pulseWidthOf = (which: Which, fuelMass: PointValue) =>
  ofCylinder(which, 'injector_pulse_width', 'Injector pulse width', (point) =>
    pulseWidth(point, point.get(injectorFlow), point.get(fuelMass)),
  );

const dutyOf = (which: Which, pulse: PointValue) =>
  ofCylinder(which, 'injector_duty', 'Injector duty', (point) => duty(point, point.get(pulse)));

const lambdaOf = (which: Which) =>
  ofCylinder(which, 'lambda', 'Lambda', (point, trim) =>
    apply(physics.trimmedLambda, { lambda: point.get(targetLambda), trim }),
  );

/** The sum of the trims of all cylinders; undefined if they add nothing to the fuel of the engine. */
function sumOfTrims({ fuel, engine }: Pick<EngineConfiguration, 'fuel' | 'engine'>): MaybeOperand {
  const count = engine?.cylinders?.canonical;
  return fuel?.cylinder_trim && count !== undefined ? sumOf(fuel.cylinder_trim, count) : undefined;
}

const sumOf = memo((trims: FuelCylinderTrim, cylinders: number): MaybeOperand => {
  const all = Object.entries(trims).filter(([cylinder]) => Number(cylinder) <= cylinders);
  const sum = all.reduce<MaybeOperand>(
    (first, [, second]) => (first ? apply(physics.trimSum, { first, second }) : second),
    undefined,
  );
  return sum && Math.abs(sum.canonical) > NOTHING ? sum : undefined;
});

/** A sum of trims that is rounding. */
const NOTHING = 1e-12;

/** What the pump must supply, if trims add or remove fuel: `fuel_flow` is that of cylinders without trims. */
export const fuelFlowWithTrims: PointValue = {
  id: 'fuel_flow_by_volume_with_trims',
  label: 'Fuel flow by volume with cylinder trims',
  reportIn: 'L/h',
  derive(point) {
    const trims = sumOfTrims(point.configuration);
    return (
      trims &&
      apply(physics.trimmedFuelFlow, {
        volumeFlow: point.get(fuelVolumeFlow),
        trims,
        cylinders: point.configuration.engine?.cylinders,
      })
    );
  },
};

export const fuelMassOfRichest = fuelMassOf('richest');
export const pulseWidthOfRichest = pulseWidthOf('richest', fuelMassOfRichest);
export const dutyOfRichest = dutyOf('richest', pulseWidthOfRichest);
export const lambdaOfRichest = lambdaOf('richest');

export const fuelMassOfLeanest = fuelMassOf('leanest');
export const pulseWidthOfLeanest = pulseWidthOf('leanest', fuelMassOfLeanest);
export const dutyOfLeanest = dutyOf('leanest', pulseWidthOfLeanest);
export const lambdaOfLeanest = lambdaOf('leanest');
