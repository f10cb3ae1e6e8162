import type { Analysis } from '../../shared/analysis.ts';
import { type DerivedValue, type Input, valueText } from '../../shared/derived/value.ts';
import type { LimitedBound } from '../../shared/limits/verdict.ts';
import { citation } from '../../shared/physics/citation.ts';
import { valueAtWitness } from '../../shared/proof/witness-point.ts';
import { situationText, witnessText } from '../../shared/proof/words.ts';
import { boundKey } from '../bound-words.ts';
import { notesOf } from '../formats/derive-report.ts';
import { type PreferredUnits, preferred, preferredWorking } from '../preferred-units.ts';
import { moversOf, moversText } from '../sensitivity-words.ts';
import type { PlaceOf } from './installation-view-places.ts';
import type { Explanation, InputView, ValueAsked } from './installation-view-types.ts';
import { namedValues } from './installation-view-values.ts';

/** The derivation of a value; null if the current text has no such value. */
export function explanationOf(
  { derivation }: Analysis,
  { value: name, through }: ValueAsked,
  units: PreferredUnits,
  placeOf: PlaceOf,
  bounds: readonly LimitedBound[] = [],
): Explanation | null {
  const way: DerivedValue[] = [];
  const bound = bounds.find((one) => boundKey(one) === name);
  let value = derivation && (bound ? valueAtWitness(derivation, bound) : namedValues(derivation).get(name));
  for (const index of through) {
    if (!value) return null;
    way.push(value);
    value = value.inputs[index]?.derived;
  }
  if (!derivation || !value) return null;
  return {
    isOfState: bound !== undefined,
    trail: way.map(({ label }) => label),
    label: value.label,
    text: valueText(preferred(value, units)),
    notes: [...(way.length === 0 && bound ? [witnessNote(bound)] : []), ...notesOf(value, units)],
    formula: value.formula,
    substituted: preferredWorking(value, units),
    inputs: value.inputs.map((input) => inputView(input, units, placeOf)),
    movers: moversText(moversOf(value)) ?? null,
    sources: value.sources.map(citation),
    place: placeOf(value.node),
  };
}

/** `In the state 5800 rpm, …, map set climb, coolant_temperature failed.` */
const witnessNote = (bound: LimitedBound): string =>
  `In the state ${[witnessText(bound), situationText(bound)].filter(Boolean).join(', ')}.`;

function inputView(
  { term, canonical, how, node, derived }: Input,
  units: PreferredUnits,
  placeOf: PlaceOf,
): InputView {
  return {
    symbol: term.symbol,
    label: derived?.label ?? term.label,
    text: valueText(preferred({ canonical, show: term.show ?? term.unit }, units)),
    how: how ?? null,
    place: placeOf(node),
    isDerived: derived !== undefined,
  };
}
