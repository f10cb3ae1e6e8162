import type { Sensor } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { pinOf, sensorsOf } from '../derived/sensor-input.ts';
import { computedType } from '../derived/temperature-sensors.ts';
import {
  thermistorFitError,
  thermistorResolutionHot,
  thermistors,
  thermistorVoltsHot,
} from '../derived/thermistors.ts';
import { valueText } from '../derived/value.ts';
import { groupedBy } from '../grouped-by.ts';
import { type ThermocoupleType, thermocoupleRange } from '../physics/thermocouple.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { passes } from './threshold.ts';
import { difference, formatQuantity } from './words.ts';

export const thermistorPointsInconsistent: Check = engineCheck({
  id: 'thermistor-points-inconsistent',
  severity: 'warning',
  title: 'Thermistor points that fit no thermistor',
  page: {
    catches:
      'Resistance points that the fitted Steinhart–Hart curve misses by more than the tolerance, and, as an error, points between which the resistance does not fall as the temperature rises.',
    why: 'Three constants follow any real thermistor to a fraction of a kelvin. A point that they miss is a slip of the pen, and bends the whole curve around it.',
    example:
      'resistance: { 0 °C: 5.89 kohm, 20 °C: 2.45 kohm, 40 °C: 1.81 kohm, 100 °C: 0.187 kohm }   # 1.18 at 40 °C',
    remedy:
      'Compare the points with the data sheet; the one named is missed most, its neighbours may be at fault.',
    basis: 'Steinhart and Hart 1968 (from memory); the tolerance is common practice, no source.',
  },
  settings: {
    tolerance: {
      kind: 'temperature difference',
      value: '1 K',
      meaning: 'How far the fitted curve may miss a point.',
    },
  },
  *find({ installation, derivation }, { tolerance }) {
    const errors = groupedBy(derivation.get(thermistorFitError), ({ node }) => node.parent);
    for (const [, { resistance }] of sensorsOf(installation.configuration, 'thermistor')) {
      const rising = resistance && risingPoint(resistance.points);
      if (rising) {
        yield rising;
        continue;
      }
      const own = errors.get(resistance?.node) ?? [];
      const worst = own.reduce<(typeof own)[number] | undefined>(
        (most, one) => (Math.abs(one.canonical) > Math.abs(most?.canonical ?? 0) ? one : most),
        undefined,
      );
      if (!worst || Math.abs(worst.canonical) <= tolerance) continue;
      yield {
        at: worst.node,
        message: `The curve nearest to the ${own.length} points misses this one by ${formatQuantity(Math.abs(worst.canonical), 'K', 2)}; ${formatQuantity(tolerance, 'K')} is usual.`,
      };
    }
  },
});

type Points = NonNullable<Sensor['resistance']>['points'];

/** The first point that does not lie below its colder neighbour. */
function risingPoint(points: Points): Found | undefined {
  const sorted = [...points].sort((a, b) => a.from.canonical - b.from.canonical);
  const index = sorted.findIndex((point, i) => i > 0 && point.to.canonical >= sorted[i - 1]!.to.canonical);
  const [colder, warmer] = [sorted[index - 1], sorted[index]];
  if (!colder || !warmer) return undefined;
  return {
    at: warmer.value,
    severity: 'error',
    message: `The resistance does not fall from ${colder.key.text} (${colder.value.text}) to ${warmer.key.text} (${warmer.value.text}).`,
    related: [{ at: colder.value, message: 'The colder point.' }],
  };
}

export const thermistorResolutionPoor: Check = engineCheck({
  id: 'thermistor-resolution-poor',
  severity: 'warning',
  title: 'A thermistor that is read too coarsely when hot',
  page: {
    catches: 'A thermistor whose input sees its hot end in steps that are larger than the limit.',
    why: 'Hot, a thermistor has little resistance left under the pull-up, and a degree makes hardly any voltage. Just where a limit must trip, the reading jumps in steps and drifts with every ohm of the connector.',
    example:
      'coolant_temperature: { kind: thermistor, pull_up: 47 kohm, resistance: { 0 °C: 5.89 kohm, 40 °C: 1.18 kohm, 100 °C: 0.187 kohm } }',
    remedy:
      'Use a smaller pull-up, nearer to the resistance of the sensor when hot, or an input of more bits.',
    basis: 'The divider’s slope at the hot end; the limit is common practice, no source.',
  },
  settings: {
    limit: {
      kind: 'temperature difference',
      value: '1 K',
      meaning: 'The largest step in which the hot end may be read.',
    },
  },
  *find({ derivation }, { limit }) {
    const volts = new Map(derivation.get(thermistorVoltsHot).map((value) => [value.node, value]));
    for (const step of derivation.get(thermistorResolutionHot)) {
      if (step.canonical <= limit) continue;
      const hot = volts.get(step.node);
      yield {
        at: step.node,
        message: `At the hot end${hot ? `, with ${valueText(hot)} at the input,` : ''} a bit is ${formatQuantity(step.canonical, 'K', 2)}; ${formatQuantity(limit, 'K')} is the limit.`,
      };
    }
  },
});

export const pullUpDiffersFromController: Check = engineCheck({
  id: 'pull-up-differs-from-controller',
  severity: 'warning',
  title: 'Two values for one pull-up',
  page: {
    catches: 'A sensor’s `pull_up` that differs from the one that the controller has at that pin.',
    why: 'With the wrong pull-up every temperature is wrong, and the more so the hotter. A second resistor outside is in parallel to the one inside, and then neither number holds.',
    example:
      'coolant_temperature: { kind: thermistor, pin: A9, pull_up: 1 kohm }   # the controller has 2.49 kohm there',
    remedy:
      'Leave the key out to use the controller’s value. With a resistor outside as well, write both in parallel in the controller file.',
    basis: 'The two files must agree; the tolerance is that of a usual resistor, common practice, no source.',
  },
  settings: { tolerance: { kind: 'ratio', value: '1 %', meaning: 'How far the two values may differ.' } },
  *find({ installation }, { tolerance }) {
    for (const [, sensor] of sensorsOf(installation.configuration, 'thermistor', 'rtd')) {
      const own = sensor.pull_up;
      const inside = pinOf(installation, sensor)?.pull_up;
      if (!own || !inside || !passes(Math.abs(own.canonical / inside.canonical - 1), tolerance)) continue;
      yield {
        at: own.node,
        message: `The pull-up is ${own.node.text} here and ${inside.node.text} in the controller, ${difference(own.canonical, inside.canonical)} apart.`,
        related: [{ at: inside.node, message: 'The controller’s pull-up.' }],
        fixes: [
          {
            title: `Write the controller’s: ${inside.node.text}`,
            safety: 'choice',
            edits: [{ span: own.node, text: inside.node.text }],
          },
        ],
      };
    }
  },
});

/** Upper limits, in °C, for protected elements of the thickest wire. ASTM E230 (from memory). */
const LASTING: Readonly<Record<ThermocoupleType, number>> = { T: 370, J: 760, E: 870, K: 1260, N: 1260 };

export const thermocoupleTypeLimit: Check = engineCheck({
  id: 'thermocouple-type-limit',
  severity: 'warning',
  title: 'Hotter than the thermocouple bears',
  page: {
    catches:
      'A `maximum` above the temperature up to which wire of that type lasts, and, as an error, one outside the range of its reference function. For types without a reference function here it says so.',
    why: 'Too hot, a thermocouple drifts and then breaks, and reads low before it does: an exhaust that looks cooler than it is.',
    example:
      'egt_1: { measures: "exhaust_gas_temperature[1]", kind: thermocouple, type: J, maximum: 950 °C }',
    remedy: 'Use type K or N for exhaust, or correct the letter: it must be that of the wire that is fitted.',
    basis:
      'Reference functions: NIST Monograph 175. Lasting limits: ASTM E230, protected, thickest wire (from memory).',
  },
  *find({ installation: { configuration } }) {
    for (const [, sensor] of sensorsOf(configuration, 'thermocouple')) {
      if (!sensor.type) continue;
      const type = computedType(sensor);
      const written = type && nodeOf(sensor.type);
      if (!type) {
        yield {
          at: sensor.type.node,
          severity: 'information',
          message: `Voltages of type ${sensor.type.text} are not computed here, and its limits are not examined.`,
        };
        continue;
      }
      const [low, high] = thermocoupleRange(type);
      for (const end of [sensor.minimum, sensor.maximum]) {
        // Below absolute zero there is no temperature to be in range.
        if (end?.quantity.unit?.dimension !== 'temperature' || end.canonical < 0) continue;
        const related = [{ at: written!, message: 'The type.' }];
        if (end.canonical < low || end.canonical > high) {
          const range = `${formatQuantity(low, '°C')} to ${formatQuantity(high, '°C')}`;
          const message = `${end.node.text} is outside the range of type ${type}, ${range}.`;
          yield { at: end.node, severity: 'error', message, related };
        } else if (end.canonical > LASTING[type] + 273.15) {
          const message = `Type ${type} lasts up to ${LASTING[type]} °C; this one is used up to ${end.node.text}.`;
          yield { at: end.node, message, related };
        }
      }
    }
  },
});

export const sensorKeyMissing: Check = engineCheck({
  id: 'sensor-key-missing',
  severity: 'warning',
  title: 'A sensor that can not be computed',
  page: {
    catches:
      'A sensor that lacks what its kind is computed from: the supply or the pull-up of a resistive one, the resistance at 0 °C of a platinum one, a second point or a beta for a thermistor, a second point for a scaling, the range of a wideband.',
    why: 'Without it nothing is known of what the input sees, so nothing about this sensor is checked.',
    example:
      'coolant_temperature: { measures: coolant_temperature, kind: thermistor, pin: A9, resistance: { 25 °C: 2.2 kohm } }   # one point, no beta',
    remedy: 'Add the key from the sensor’s data sheet or the controller’s.',
    basis: 'The formulas that the kind is computed with.',
  },
  *find({ installation }) {
    const { configuration } = installation;
    // What a controller has that is named and not there cannot be told; that is said already.
    const isControllerKnown = installation.controller !== undefined || configuration.controller === undefined;
    const known = new Set(thermistors(installation).map(({ sensor }) => sensor));
    for (const [name, sensor] of sensorsOf(configuration, 'thermistor', 'rtd', 'wideband')) {
      const missing = missingKeys(sensor, {
        hasCurve: known.has(sensor),
        hasPullUp:
          !isControllerKnown ||
          sensor.pull_up !== undefined ||
          pinOf(installation, sensor)?.pull_up !== undefined,
      });
      for (const { key, why } of missing) {
        yield { at: sensor.kind!.node, message: `${name} needs \`${key}\`: ${why}.` };
      }
    }
    for (const [name, { scaling }] of Object.entries(configuration.sensors ?? {})) {
      if (!scaling || scaling.node.entries.length > 1) continue;
      const has = scaling.node.entries.length === 0 ? 'no point' : 'one point alone';
      yield { at: scaling.node, message: `${name} has ${has} in its scaling: a line takes two.` };
    }
  },
});

interface MissingSensorKey {
  readonly key: string;
  readonly why: string;
}

function missingKeys(
  sensor: Sensor,
  { hasCurve, hasPullUp }: { readonly hasCurve: boolean; readonly hasPullUp: boolean },
): MissingSensorKey[] {
  const kind = sensor.kind!.text;
  const missing: MissingSensorKey[] = [];
  const need = (is: boolean, key: string, why: string) => {
    if (!is) missing.push({ key, why });
  };
  if (kind === 'wideband') {
    need(sensor.range !== undefined, 'range', 'without it nothing says how rich and how lean it reads');
    return missing;
  }
  need(sensor.supply !== undefined, 'supply', 'without it the voltage of its divider is not known');
  need(hasPullUp, 'pull_up', 'neither the sensor nor the pin of the controller states one');
  if (kind === 'rtd') {
    const points = sensor.resistance?.points ?? [];
    const atZero = points.some(({ from }) => Math.abs(from.canonical - 273.15) < 1e-6);
    need(sensor.nominal !== undefined || atZero, 'nominal', 'its resistance at 0 °C fixes its whole curve');
  } else if (sensor.resistance?.node.entries.length === 1) {
    need(hasCurve, 'beta', 'one point alone fixes no curve');
  }
  return missing;
}
