import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fullProofOf } from '../../shared/limits/verdict.ts';
import type { Bound } from '../../shared/proof/bound.ts';
import { USUAL } from '../../shared/proof/proof.ts';
import { ENGINES, isWithin, opened, SHARES, States } from './states.ts';

const share = fc.double({ min: 0, max: 1, noNaN: true });

/** Shares of the ranges of an envelope; a third of them at an end, where extremes are. */
const place = fc.array(fc.oneof(share, fc.constantFrom(0, 1), share), {
  minLength: SHARES,
  maxLength: SHARES,
});

const nameOf = ({ id, side, mapSet, fault }: Bound) => [id, side, mapSet, fault].join(' ');

describe.each(ENGINES)('%s', (name) => {
  const subject = opened(name);
  const bounds = [...fullProofOf(subject, { ...USUAL, mostBoxes: 600 }).bounds()];
  const { selectable } = subject.installation;
  const statesOf = new Map(selectable.map((engine) => [engine.mapSet, new States(engine, subject)]));

  test('every value of a point has bounds, nearly all of them closed', () => {
    expect(bounds.length).toBeGreaterThan(90);
    expect(bounds.filter(({ isClosed }) => !isClosed).length).toBeLessThan(0.02 * bounds.length);
  });

  test('a bound is beyond what was reached, and what was reached is derived at the witness', () => {
    for (const one of bounds) {
      const { side, bound, reached, witness, mapSet } = one;
      expect(side === 'high' ? bound >= reached : bound <= reached, nameOf(one)).toBe(true);
      const states = statesOf.get(mapSet)!;
      const values = states.values(one, states.point(witness));
      const isDerived = values.some((value) => Math.abs(value - reached) <= 1e-9 * Math.abs(reached) + 1e-12);
      expect(isDerived, `${nameOf(one)}: ${reached} is not among ${values}`).toBe(true);
    }
  });

  test.each(selectable)('no state passes a bound (map set $mapSet)', ({ mapSet }) => {
    const states = statesOf.get(mapSet)!;
    const own = bounds.filter((one) => one.mapSet === mapSet);
    let met = 0;
    fc.assert(
      fc.property(place, (shares) => {
        const state = states.at(shares);
        if (!state) return;
        met++;
        const point = states.point(state);
        for (const one of own)
          for (const value of states.values(one, point))
            expect(isWithin(one, value), `${nameOf(one)}: ${value} against ${one.bound}`).toBe(true);
      }),
      { numRuns: 300 },
    );
    expect(met).toBeGreaterThan(200);
  });

  test.each(selectable)('no climb passes a bound (map set $mapSet)', ({ mapSet }) => {
    const states = statesOf.get(mapSet)!;
    const own = bounds.filter((one) => one.mapSet === mapSet);
    const starts = fc.sample(place, own.length);
    own.forEach((one, i) => {
      for (const from of [states.sharesOf(one.witness), starts[i]!]) {
        const furthest = climbed(one, states, from);
        if (Number.isFinite(furthest))
          expect(isWithin(one, furthest), `${nameOf(one)}: ${furthest} against ${one.bound}`).toBe(true);
      }
    });
  });
});

/** The furthest value found from a state in ever smaller steps, each along one variable. */
function climbed(one: Bound, states: States, from: readonly number[]): number {
  const sign = one.side === 'high' ? 1 : -1;
  const heightAt = (shares: readonly number[]): number => {
    const state = states.at(shares);
    const values = state ? states.values(one, states.point(state)) : [];
    return values.length > 0 ? Math.max(...values.map((value) => sign * value)) : -Infinity;
  };
  let place = [...from];
  let height = heightAt(place);
  for (const step of [0.2, 0.03, 0.004]) {
    for (let i = 0; i < place.length; i++) {
      for (const way of [step, -step]) {
        const next = place.with(i, Math.min(1, Math.max(0, place[i]! + way)));
        const found = heightAt(next);
        if (found > height) [place, height] = [next, found];
      }
    }
  }
  return sign * height;
}
