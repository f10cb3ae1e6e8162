import { type Expression, parseExpression } from '../arithmetic/expression.ts';
import { cycleTime } from '../derived/cylinder.ts';
import type { FaultedPoint } from '../derived/faults.ts';
import {
  deadTime,
  fuelDensity,
  fuelMassPerCycle,
  injections,
  injectorFlow,
  injectorsPerCylinder,
} from '../derived/fuel.ts';
import {
  type Applied,
  applicationOf,
  apply,
  type DerivedValue,
  type MaybeOperand,
  type Operand,
  type Result,
} from '../derived/value.ts';
import * as physics from '../physics/faults.ts';

type Given = Operand | DerivedValue | Result;

/** Whether two operands are equal in every state. */
export type IsSame = (a: Given, b: Given) => boolean;

const ONE: Operand = { canonical: 1, how: 'assumed value equals the actual one' };
const STOICHIOMETRIC: Operand = { canonical: 1, how: 'lambda 1' };
const NOTHING: Operand = { canonical: 0, how: 'assumed value equals the actual one' };

/**
 * The lambda that results in the actual state from the fuel for the assumed one, as in `faultedLambda`; `assumedLambda` is
 * the target there, of all cylinders or of one with a trim. Factors that
 * are equal in both states (`isSame`) are cancelled, because as separate intervals they would widen the bounds.
 */
export function deliveredLambda(
  { actual, assumed }: Pick<FaultedPoint, 'actual' | 'assumed'>,
  assumedLambda: MaybeOperand,
  isSame: IsSame,
): Result | undefined {
  const required = actual.get(fuelMassPerCycle);
  const injected = assumed.get(fuelMassPerCycle);
  const [flow, assumedFlow] = [actual.get(injectorFlow), assumed.get(injectorFlow)];
  const [closing, assumedClosing] = [deadTime(actual), deadTime(assumed)];
  if (!required || !injected || !flow || !assumedFlow || !closing || !assumedClosing) return undefined;
  const { configuration } = actual;
  const rest = {
    deadTime: closing,
    flow,
    fuelDensity: fuelDensity(configuration),
    injectorsPerCylinder: injectorsPerCylinder(configuration),
    injections: injections(configuration),
    // Relative to the fuel for lambda 1, the result does not depend on the target of the actual state.
    fuelMass: withoutTarget(required),
  };
  const masses = ratioOf(injected, required, isSame, 'lambda');
  const flows = ratioOf(flow, assumedFlow, isSame);
  return apply(physics.deliveredLambda, {
    ratio: timesOf(masses, flows),
    assumedLambda,
    deadTimeShare: isSame(closing, assumedClosing)
      ? NOTHING
      : apply(physics.deadTimeShare, { assumed: assumedClosing, ...rest }),
    capacity: apply(physics.fuelCapacity, { cycleTime: actual.get(cycleTime), ...rest }),
  });
}

/** The fuel mass at a target lambda of 1. */
function withoutTarget(fuelMass: DerivedValue): Result | undefined {
  const { formula, operands } = applicationOf(fuelMass.result);
  return apply(formula, { ...operands, lambda: STOICHIOMETRIC });
}

/**
 * The quotient of two values. Products and quotients by the same formula are divided factor by factor, without the
 * factor `except`.
 */
function ratioOf(above: Given, below: Given, isSame: IsSame, except?: string): MaybeOperand {
  if (isSame(above, below)) return ONE;
  const [a, b] = [appliedIn(above), appliedIn(below)];
  const powers = a && b && a.formula === b.formula ? powersIn(a) : undefined;
  if (!powers) return apply(physics.quotient, { above, below });
  let ratio: MaybeOperand = ONE;
  for (const [name, power] of powers) {
    if (name === except) continue;
    const [first, second] = power > 0 ? [a!, b!] : [b!, a!];
    const factor = ratioOf(first.operands[name]!, second.operands[name]!, isSame);
    for (let i = 0; i < Math.abs(power); i++) ratio = timesOf(ratio, factor);
  }
  return ratio;
}

function timesOf(first: MaybeOperand, second: MaybeOperand): MaybeOperand {
  if (first === ONE) return second;
  return second === ONE ? first : apply(physics.product, { first, second });
}

function appliedIn(operand: Given): Applied | undefined {
  if ('id' in operand) return applicationOf(operand.result);
  return 'formula' in operand ? applicationOf(operand) : undefined;
}

/**
 * The integer power of each term, by name, in a formula that only multiplies and divides; undefined for other formulas.
 */
function powersIn({ formula }: Applied): Map<string, number> | undefined {
  const names = new Map(Object.entries(formula.terms).map(([name, { symbol }]) => [symbol, name]));
  const [only] = Object.values(formula.terms);
  if (only?.symbol === formula.expression) return undefined;
  const powers = new Map<string, number>();
  const add = (part: Expression, sign: 1 | -1): boolean => {
    if (part.type === 'number') return true;
    if (part.type === 'symbol') {
      const name = names.get(part.name);
      if (name !== undefined) powers.set(name, (powers.get(name) ?? 0) + sign);
      return true;
    }
    const [first, second] = part.operands;
    if (part.operation !== 'multiply' && part.operation !== 'divide') return false;
    return add(first, sign) && add(second!, part.operation === 'divide' ? (sign === 1 ? -1 : 1) : sign);
  };
  return add(parseExpression(formula.expression), 1) ? powers : undefined;
}
