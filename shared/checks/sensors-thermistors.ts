import { betaOfPairs, resistanceAt25 } from '../derived/thermistor-pairs.ts';
import { thermistors } from '../derived/thermistors.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { passes } from './threshold.ts';
import { formatQuantity, formatStated } from './words.ts';

export const thermistorUnusual: Check = engineCheck({
  id: 'thermistor-unusual',
  severity: 'warning',
  title: 'Thermistor values implausible',
  page: {
    catches:
      'Thermistor points whose B-value is not that of a thermistor, or changes more from one pair of points to the next than that of a real one; a resistance at 25 °C outside the usual range.',
    why: 'Two or three points always lie on a fitted curve, so a wrong one does not show. A resistance that is a third too high makes a warm engine look ten degrees colder.',
    example: 'resistance: { -20 °C: 15.5 kohm, 20 °C: 3.3 kohm, 110 °C: 0.142 kohm }   # 2.5 kohm at 20 °C',
    remedy: 'Compare the points with the data sheet. One of the two named points is probably wrong.',
    basis:
      'B-value between two points: IEC 60539-1. It rises a little with temperature; the usual values are common practice, no source.',
  },
  settings: {
    lowest_beta: { kind: 'temperature difference', value: '2800 K', meaning: 'Lowest usual B-value.' },
    highest_beta: { kind: 'temperature difference', value: '4800 K', meaning: 'Highest usual B-value.' },
    fall: {
      kind: 'ratio',
      value: '6 %',
      meaning: 'Largest usual fall of the B-value to the next, warmer pair.',
    },
    rise: {
      kind: 'ratio',
      value: '14 %',
      meaning: 'Largest usual rise of the B-value to the next, warmer pair.',
    },
    lowest_resistance: {
      kind: 'resistance',
      value: '0.5 kohm',
      meaning: 'Lowest usual resistance at 25 °C.',
    },
    highest_resistance: {
      kind: 'resistance',
      value: '15 kohm',
      meaning: 'Highest usual resistance at 25 °C.',
    },
  },
  *find({ installation }, settings): Generator<Found> {
    for (const thermistor of thermistors(installation)) {
      const pairs = betaOfPairs(thermistor.sensor);
      // Points that do not fall have a finding of their own.
      if (pairs.some(({ beta }) => beta <= 0)) continue;
      const odd = pairs.find(
        ({ beta }) => passes(settings.lowest_beta, beta) || passes(beta, settings.highest_beta),
      );
      // A fit to more than three points shows a wrong one; `thermistor-points-inconsistent` reports it.
      const bent =
        pairs.length > 2
          ? -1
          : pairs.findIndex(({ beta }, i) => {
              const before = pairs[i - 1];
              if (!before) return false;
              const change = beta / before.beta - 1;
              return passes(change, settings.rise) || passes(-change, settings.fall);
            });
      const at25 = resistanceAt25(thermistor);
      if (bent > 0) {
        const [before, after] = [pairs[bent - 1]!, pairs[bent]!];
        yield {
          at: after.colder.value,
          message: `The B-value is ${formatQuantity(before.beta, 'K', 4)} below ${after.colder.key.text} and ${formatQuantity(after.beta, 'K', 4)} above; the B-value of a real thermistor varies little with temperature.`,
          cause: thermistor.node,
        };
      } else if (odd) {
        yield {
          at: odd.warmer.value,
          message: `From ${odd.colder.key.text} to ${odd.warmer.key.text} the B-value is ${formatQuantity(odd.beta, 'K', 4)}; ${formatStated(settings.lowest_beta, 'K')} to ${formatStated(settings.highest_beta, 'K')} is usual.`,
          cause: thermistor.node,
        };
      } else if (
        at25 !== undefined &&
        (passes(settings.lowest_resistance, at25) || passes(at25, settings.highest_resistance))
      ) {
        yield {
          at: thermistor.node,
          message: `The thermistor has ${formatQuantity(at25, 'kohm')} at 25 °C; ${formatStated(settings.lowest_resistance, 'kohm')} to ${formatStated(settings.highest_resistance, 'kohm')} is usual.`,
          cause: thermistor.node,
        };
      }
    }
  },
});
