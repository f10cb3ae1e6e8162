import type { EngineConfiguration, Sensor } from '../../generated/configuration.ts';
import { sensorsMeasuring } from '../derived/sensor-reading.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import { formatStated, percent } from './words.ts';

/** The sensors with a substitute that measure a quantity, whether or not another sensor measures it too. */
const substitutes = (configuration: EngineConfiguration, quantity: string) =>
  sensorsMeasuring(configuration, quantity).flatMap(([name, { substitute }]: [string, Sensor]) =>
    substitute ? [{ name, substitute }] : [],
  );

export const substituteUnusual: Check = engineCheck({
  id: 'substitute-unusual',
  severity: 'warning',
  title: 'Unusual substitute value',
  page: {
    catches:
      'A substitute value that the running engine rarely has: a coolant temperature of a cold engine (if the file has `warm_up_enrichment`), a throttle position at which the boost target is nearly that of a closed throttle, or a fuel pressure far from the stated rail pressure.',
    why: 'A broken wire then changes a healthy engine: it is flooded by its warm-up fuel, loses its boost, or gets fuel for a rail pressure that it does not have.',
    example:
      'coolant_temperature: { measures: coolant_temperature, ..., substitute: 5 °C }   # 40 % more fuel in a warm engine',
    remedy:
      'Write the value of the running engine: the usual coolant temperature, a throttle opening in cruise, the rail pressure.',
    basis:
      'Common practice, no source: a substitute value keeps the engine running as it runs most of the time.',
  },
  settings: {
    coolant: {
      kind: 'temperature',
      value: '40 °C',
      meaning: 'Lowest usual substitute value for coolant temperature.',
    },
    throttle: {
      kind: 'ratio',
      value: '25 %',
      meaning: 'Lowest usual substitute value for throttle position.',
    },
    rail: {
      kind: 'ratio',
      value: '20 %',
      meaning: 'Largest usual difference between the substitute fuel pressure and the rail pressure.',
    },
  },
  *find({ installation: { configuration } }, { coolant, throttle, rail }): Generator<Found> {
    const { fuel, boost } = configuration;
    if (fuel?.warm_up_enrichment)
      for (const { name, substitute } of substitutes(configuration, 'coolant_temperature'))
        if (passes(coolant, substitute.canonical))
          yield {
            at: substitute.node,
            message: `The substitute value of ${quote(name)} is ${substitute.node.text}. If the sensor fails, the warm engine gets the warm-up enrichment of a cold one; at least ${formatStated(coolant, '°C')} is usual.`,
            related: [{ at: fuel.warm_up_enrichment.node, message: 'The warm-up enrichment.' }],
          };
    const target = boost?.target;
    if (target && [target.x, target.y].some((axis) => axis?.quantity === 'throttle_position'))
      for (const { name, substitute } of substitutes(configuration, 'throttle_position'))
        if (passes(throttle, substitute.canonical))
          yield {
            at: substitute.node,
            message: `The substitute value of ${quote(name)} is ${substitute.node.text}. If the sensor fails, the boost target is that of a nearly closed throttle; at least ${percent(throttle)} is usual.`,
            related: [{ at: target.node, message: 'The boost target.' }],
          };
    const pressure = fuel?.rail?.pressure;
    if (!pressure || !configuration.closed_loop?.fuel_pressure?.compensate?.flag) return;
    for (const { name, substitute } of substitutes(configuration, 'fuel_pressure')) {
      const share = substitute.canonical / pressure.canonical;
      if (substitute.quantity.reference !== pressure.quantity.reference) continue;
      if (!passes(Math.abs(share - 1), rail)) continue;
      yield {
        at: substitute.node,
        message: `The substitute value of ${quote(name)} is ${substitute.node.text}, ${percent(share)} of the rail pressure of ${pressure.node.text}. If the sensor fails, the fuel is compensated for a pressure that the rail does not have; a difference of at most ${percent(rail)} is usual.`,
        related: [{ at: pressure.node, message: 'The rail pressure.' }],
      };
    }
  },
});
