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
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import { difference, formatQuantity, formatStated } from './words.ts';

export const thermistorPointsInconsistent: Check = engineCheck({
  id: 'thermistor-points-inconsistent',
  severity: 'warning',
  title: 'Thermistor points inconsistent',
  page: {
    catches:
      'A resistance point that the fitted Steinhart–Hart curve misses by more than the tolerance. Points between which the resistance does not fall as the temperature rises are an error.',
    why: 'Three constants describe a real thermistor to a fraction of a kelvin. A point that they miss is most likely a typing error, and it bends the curve around it.',
    example:
      'resistance: { 0 °C: 5.89 kohm, 20 °C: 2.45 kohm, 40 °C: 1.81 kohm, 100 °C: 0.187 kohm }   # 1.18 at 40 °C',
    remedy:
      'Compare the points with the data sheet. The finding names the point with the largest error; a neighbour may be the wrong one.',
    basis: 'Steinhart and Hart 1968 (from memory). The tolerance is common practice, no source.',
  },
  settings: {
    tolerance: {
      kind: 'temperature difference',
      value: '1 K',
      meaning: 'Largest error of the fitted curve at a point.',
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
        message: `The curve fitted to the ${own.length} points misses this point by ${formatQuantity(Math.abs(worst.canonical), 'K', 2)}; the limit is ${formatStated(tolerance, 'K')}.`,
      };
    }
  },
});

type Points = NonNullable<Sensor['resistance']>['points'];

/** The first point whose resistance is not below that of its colder neighbour. */
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
  title: 'Thermistor resolution too coarse',
  page: {
    catches:
      'A thermistor for which one count of the input is a larger temperature step than the limit at the hot end.',
    why: 'A hot thermistor has a small resistance compared with its pull-up, so one degree changes the voltage very little. Near the temperature at which a limit must trip, the reading jumps in steps and shifts with every ohm in the connector.',
    example:
      'coolant_temperature: { kind: thermistor, pull_up: 47 kohm, resistance: { 0 °C: 5.89 kohm, 40 °C: 1.18 kohm, 100 °C: 0.187 kohm } }',
    remedy: 'Use a smaller pull-up, closer to the resistance of the hot sensor, or an input with more bits.',
    basis: 'Slope of the voltage divider at the hot end. The limit is common practice, no source.',
  },
  settings: {
    limit: {
      kind: 'temperature difference',
      value: '1 K',
      meaning: 'Largest temperature step of the input at the hot end.',
    },
  },
  *find({ derivation }, { limit }) {
    const volts = new Map(derivation.get(thermistorVoltsHot).map((value) => [value.node, value]));
    for (const step of derivation.get(thermistorResolutionHot)) {
      if (step.canonical <= limit) continue;
      const hot = volts.get(step.node);
      yield {
        at: step.node,
        message: `One count is ${formatQuantity(step.canonical, 'K', 2)} at the hot end${hot ? ` (${valueText(hot)} at the input)` : ''}; the limit is ${formatStated(limit, 'K')}.`,
      };
    }
  },
});

export const pullUpDiffersFromController: Check = engineCheck({
  id: 'pull-up-differs-from-controller',
  severity: 'warning',
  title: 'Pull-up does not match controller file',
  onStandby: true,
  page: {
    catches: 'A `pull_up` of a sensor that differs from the one that the controller file states for the pin.',
    why: 'A wrong pull-up makes every temperature wrong, most of all when hot. An external resistor is in parallel with the internal one, and then neither value is right.',
    example:
      'coolant_temperature: { kind: thermistor, pin: A9, pull_up: 1 kohm }   # the controller has 2.49 kohm there',
    remedy:
      'Remove the key to use the value of the controller file. If there is an external resistor as well, write the value of both in parallel in the controller file.',
    basis: 'The two files must agree. The tolerance is that of a usual resistor: common practice, no source.',
  },
  settings: {
    tolerance: { kind: 'ratio', value: '1 %', meaning: 'Largest difference between the two values.' },
  },
  *find({ installation }, { tolerance }) {
    for (const [, sensor] of sensorsOf(installation.configuration, 'thermistor', 'rtd')) {
      const own = sensor.pull_up;
      const inside = pinOf(installation, sensor)?.pull_up;
      if (!own || !inside || !passes(Math.abs(own.canonical / inside.canonical - 1), tolerance)) continue;
      yield {
        at: own.node,
        message: `The pull-up is ${own.node.text} here and ${inside.node.text} in the controller file, a difference of ${difference(own.canonical, inside.canonical)}.`,
        related: [{ at: inside.node, message: 'The pull-up in the controller file.' }],
        fixes: [
          {
            title: `Change to ${inside.node.text}, the value in the controller file`,
            safety: 'choice',
            edits: [{ span: own.node, text: inside.node.text }],
          },
        ],
      };
    }
  },
});

/** Upper limits in °C for protected elements of the thickest wire. ASTM E230 (from memory). */
const LASTING: Readonly<Record<ThermocoupleType, number>> = { T: 370, J: 760, E: 870, K: 1260, N: 1260 };

export const thermocoupleTypeLimit: Check = engineCheck({
  id: 'thermocouple-type-limit',
  severity: 'warning',
  title: 'Thermocouple too hot for its type',
  page: {
    catches:
      'A `maximum` above the temperature limit of wire of that type. A `minimum` or `maximum` outside the range of the reference function is an error. A type without a reference function in this program is reported as information.',
    why: 'An overheated thermocouple drifts and then breaks. Before it breaks it reads low, so the exhaust is hotter than it seems.',
    example:
      'egt_1: { measures: "exhaust_gas_temperature[1]", kind: thermocouple, type: J, maximum: 950 °C }',
    remedy: 'Use type K or N for exhaust, or correct the letter so that it matches the fitted wire.',
    basis:
      'Reference functions: NIST Monograph 175. Temperature limits: ASTM E230, protected, thickest wire (from memory).',
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
          message: `Voltages and limits of type ${sensor.type.text} are not checked: the program has no reference function for it.`,
        };
        continue;
      }
      const [low, high] = thermocoupleRange(type);
      for (const end of [sensor.minimum, sensor.maximum]) {
        // Another check reports temperatures below absolute zero.
        if (end?.quantity.unit?.dimension !== 'temperature' || end.canonical < 0) continue;
        const related = [{ at: written!, message: 'The type.' }];
        if (end.canonical < low || end.canonical > high) {
          const range = `${formatStated(low, '°C')} to ${formatStated(high, '°C')}`;
          const message = `${end.node.text} is outside the range of type ${type}, ${range}.`;
          yield { at: end.node, severity: 'error', message, related };
        } else if (end.canonical > LASTING[type] + 273.15) {
          const message = `This thermocouple is used up to ${end.node.text}, above the limit of ${LASTING[type]} °C for type ${type}.`;
          yield { at: end.node, message, related };
        }
      }
    }
  },
});

export const sensorKeyMissing: Check = engineCheck({
  id: 'sensor-key-missing',
  severity: 'warning',
  title: 'Sensor key missing',
  page: {
    catches:
      'A sensor without a key that its kind needs: the supply or pull-up of a resistive sensor, the resistance at 0 °C of a platinum sensor, a second point or `beta` of a thermistor, a second point of a scaling, the range of a wideband sensor.',
    why: 'Without the key the reading cannot be computed, so the other checks skip this sensor.',
    example:
      'coolant_temperature: { measures: coolant_temperature, kind: thermistor, pin: A9, resistance: { 25 °C: 2.2 kohm } }   # one point, no beta',
    remedy: 'Add the key from the data sheet of the sensor or the controller.',
    basis: 'The formulas for the kind of sensor.',
  },
  *find({ installation }) {
    const { configuration } = installation;
    // The pins of a controller file that is missing are unknown; another check reports the file.
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
        yield { at: sensor.kind!.node, message: `\`${key}\` of ${quote(name)} is missing: ${why}.` };
      }
    }
    for (const [name, { scaling }] of Object.entries(configuration.sensors ?? {})) {
      if (!scaling || scaling.node.entries.length > 1) continue;
      const has = scaling.node.entries.length === 0 ? 'no points' : 'only one point';
      yield { at: scaling.node, message: `The scaling of ${quote(name)} has ${has}; it needs two.` };
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
    need(
      sensor.range !== undefined,
      'range',
      'it states how rich and how lean a mixture the sensor can read',
    );
    return missing;
  }
  need(sensor.supply !== undefined, 'supply', 'the voltage of its divider depends on it');
  need(hasPullUp, 'pull_up', 'neither the sensor nor the pin in the controller file states one');
  if (kind === 'rtd') {
    const points = sensor.resistance?.points ?? [];
    const atZero = points.some(({ from }) => Math.abs(from.canonical - 273.15) < 1e-6);
    need(sensor.nominal !== undefined || atZero, 'nominal', 'the curve depends on the resistance at 0 °C');
  } else if (sensor.resistance?.node.entries.length === 1) {
    need(hasCurve, 'beta', 'one point alone does not define a curve');
  }
  return missing;
}
