import type { Analysis } from '../../shared/analysis.ts';
import { type DerivedValue, type Input, valueText } from '../../shared/derived/value.ts';
import { citation } from '../../shared/physics/citation.ts';
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
): Explanation | null {
  const way: DerivedValue[] = [];
  let value = derivation && namedValues(derivation).get(name);
  for (const index of through) {
    if (!value) return null;
    way.push(value);
    value = value.inputs[index]?.derived;
  }
  if (!derivation || !value) return null;
  return {
    trail: way.map(({ label }) => label),
    label: value.label,
    text: valueText(preferred(value, units)),
    note: value.note ?? null,
    formula: value.formula,
    substituted: preferredWorking(value, units),
    inputs: value.inputs.map((input) => inputView(input, units, placeOf)),
    movers: moversText(moversOf(derivation, value)) ?? null,
    sources: value.sources.map(citation),
    place: placeOf(value.node),
  };
}

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
