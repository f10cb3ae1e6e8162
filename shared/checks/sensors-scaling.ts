import type { Sensor } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { inputRange, type OperandRange, sensorsOf } from '../derived/sensor-input.ts';
import { scalingPoints } from '../derived/sensor-scaling.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { kindAccepts, measuredQuantity } from '../quantity/index.ts';
import { insertEntry } from '../source/edit.ts';
import { type Check, engineCheck, type Fix } from './check.ts';
import { formatNumber, formatQuantity, listed } from './words.ts';

const SCALED = ['ratiometric', 'linear'] as const;
const volts = (canonical: number): string => formatQuantity(canonical, 'V');

export const scalingNotMonotonic: Check = engineCheck({
  id: 'scaling-not-monotonic',
  severity: 'error',
  title: 'A scaling that turns back',
  page: {
    catches:
      'A scaling whose values do not rise or fall all the way with the voltage, that gives one voltage twice, or whose points are not all of one kind.',
    why: 'A voltage must mean one value. Where the scaling turns back or stands still, two pressures look alike and the controller acts on the wrong one.',
    example: 'scaling: { 0.5 V: 20 kPa abs, 2.5 V: 160 kPa abs, 4.5 V: 130 kPa abs }',
    remedy: 'Correct the point that is out of line; the data sheet’s values go one way.',
    basis: 'A function has one value at each place.',
  },
  *find({ installation: { configuration } }) {
    for (const [, sensor] of sensorsOf(configuration, ...SCALED)) {
      const written = [...(sensor.scaling?.points ?? [])].sort((a, b) => a.from.canonical - b.from.canonical);
      const kind = measuredQuantity(sensor.measures?.text ?? '')?.entry.kind ?? 'any';
      // A point that is no value of what is measured is told by itself.
      if (written.some(({ to }) => !kindAccepts(kind, to.unit, to.reference))) continue;
      if (written.length >= 2 && scalingPoints(sensor).length === 0) {
        yield {
          at: sensor.scaling!.node,
          message: `The points are of different kinds: ${listed(written.map(({ value }) => value.text))}.`,
        };
        continue;
      }
      const direction = Math.sign((written.at(-1)?.to.canonical ?? 0) - (written[0]?.to.canonical ?? 0)) || 1;
      const pairs = written.slice(1).map((point, i) => [written[i]!, point] as const);
      const bad = pairs.find(
        ([one, next]) =>
          next.from.canonical === one.from.canonical ||
          Math.sign(next.to.canonical - one.to.canonical) !== direction,
      );
      if (!bad) continue;
      const [one, next] = bad;
      yield {
        at: next.value,
        message: `From ${one.key.text} to ${next.key.text} the value goes from ${one.value.text} to ${next.value.text}, against the rest of the scaling.`,
        related: [{ at: one.value, message: 'The point before it.' }],
      };
    }
  },
});

export const scalingOutsideInput: Check = engineCheck({
  id: 'scaling-outside-input',
  severity: 'error',
  title: 'A signal that the input cannot read',
  page: {
    catches:
      'Points of a scaling beyond what the input reads or, for a ratiometric sensor, beyond its supply; a thermocouple used above the range of its input.',
    why: 'Beyond its range an input reads the same end value whatever happens, and may be destroyed. The sensor seems to work and tops out in the middle of its range.',
    example: 'scaling: { 0 V: 0 bar gauge, 10 V: 10 bar gauge }   # the input reads 0..5 V',
    remedy: 'Use an input for that range, a divider, or a sensor whose signal fits.',
    basis: 'The range that the controller file states for the pin.',
  },
  *find({ installation }) {
    const { configuration, controller } = installation;
    for (const [, sensor] of sensorsOf(configuration, ...SCALED)) {
      const range = inputRange(installation, sensor);
      const supply = sensor.kind?.text === 'ratiometric' ? sensor.supply : undefined;
      const low = range?.low.canonical ?? Number.NEGATIVE_INFINITY;
      const inputEnd = range?.high.canonical ?? Number.POSITIVE_INFINITY;
      const high = Math.min(inputEnd, supply?.canonical ?? Number.POSITIVE_INFINITY);
      const outside = sensor.scaling?.points.filter(
        ({ from }) => from.canonical > high + TINY || from.canonical < low - TINY,
      );
      if (!outside?.length) continue;
      // Where no controller says what the input reads, it is taken to read up to the supply.
      const endsAtSupply = supply && (supply.canonical < inputEnd || supply.node === range?.high.node);
      const [limit, place, what] =
        endsAtSupply && outside.some(({ from }) => from.canonical > high)
          ? [`the sensor is fed with ${volts(high)}`, supply.node, 'The supply of the sensor.']
          : [`the input reads ${volts(low)} to ${volts(inputEnd)}`, range?.high.node, 'The input’s range.'];
      yield {
        at: outside[0]!.key,
        message: `The scaling has ${listed(outside.map(({ key }) => key.text))}, and ${limit}.`,
        related: place ? [{ at: place, message: what }] : [],
      };
    }
    for (const [, { maximum, pin }] of sensorsOf(configuration, 'thermocouple')) {
      const range = pin && controller?.pins?.[pin.text]?.range;
      const isTemperature = maximum?.quantity.unit?.dimension === 'temperature';
      if (!range || !isTemperature || range.high.unit?.dimension !== 'temperature') continue;
      if (maximum.canonical <= range.high.canonical) continue;
      yield {
        at: maximum.node,
        message: `The sensor is used up to ${maximum.node.text} and its input reads ${range.node.text}.`,
        related: [{ at: range.node, message: 'The input’s range.' }],
      };
    }
  },
});

/** Volts by which two written numbers may differ through rounding in binary. */
const TINY = 1e-9;

interface Working {
  readonly low: number;
  readonly high: number;
}

/** The voltages between which a scaled sensor works. */
function workingVolts(sensor: Sensor): Working | undefined {
  const inputs = sensor.scaling?.points.map(({ from }) => from.canonical) ?? [];
  return inputs.length < 2 ? undefined : { low: minimumOf(inputs), high: maximumOf(inputs) };
}

export const faultBoundsInsideScaling: Check = engineCheck({
  id: 'fault-bounds-inside-scaling',
  severity: 'error',
  title: 'Fault bounds that cut off good readings',
  page: {
    catches: 'A bound of `fault_outside` inside the voltages that the scaling uses.',
    why: 'A good reading near the end of the range would be taken for a broken wire, and the substitute put in its place: full boost would read as a failed sensor.',
    example: 'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 300 kPa abs }\nfault_outside: 0.2..4.5 V',
    remedy: 'Move the bound outside the scaling, and keep it inside what the input can read.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation }) {
    for (const [, sensor] of sensorsOf(installation.configuration, ...SCALED)) {
      const bounds = sensor.fault_outside;
      const working = workingVolts(sensor);
      if (!bounds || !working) continue;
      const cut: string[] = [];
      if (bounds.low.canonical > working.low + TINY) cut.push(`below ${volts(bounds.low.canonical)}`);
      if (bounds.high.canonical < working.high - TINY) cut.push(`above ${volts(bounds.high.canonical)}`);
      if (cut.length === 0) continue;
      yield {
        at: bounds.node,
        message: `Readings ${listed(cut)} count as a fault, and the scaling works from ${volts(working.low)} to ${volts(working.high)}.`,
        related: [{ at: sensor.scaling!.node, message: 'The scaling.' }],
        fixes: boundsFix(working, inputRange(installation, sensor), (text) => [{ span: bounds.node, text }]),
      };
    }
  },
});

/** Bounds half-way between the working voltages and the ends of the input, in a fix that writes them. */
function boundsFix(
  working: Working,
  input: OperandRange | undefined,
  edits: (text: string) => Fix['edits'],
): Fix[] {
  if (!input) return [];
  const low = (working.low + input.low.canonical) / 2;
  const high = (working.high + input.high.canonical) / 2;
  if (!(low < working.low && high > working.high)) return [];
  // Two digits behind the point, rounded away from the scaling.
  const text = `${formatNumber(Math.floor(low * 100) / 100)}..${formatNumber(Math.ceil(high * 100) / 100)} V`;
  return [
    { title: `Write ${text}, half-way to the ends of the input`, safety: 'choice', edits: edits(text) },
  ];
}

export const faultBoundsMissing: Check = engineCheck({
  id: 'fault-bounds-missing',
  severity: 'warning',
  title: 'A broken wire would go unseen',
  page: {
    catches: 'A sensor that is read as a voltage and has no `fault_outside`.',
    why: 'A broken or shorted wire then gives an extreme reading that is believed: a cold engine that is flooded, or a manifold in vacuum that is starved.',
    example:
      'sensors:\n  oil_pressure: { measures: oil_pressure, kind: linear, pin: A2, scaling: { 0.5 V: 0 bar gauge, 4.5 V: 10 bar gauge } }',
    remedy:
      'State the voltages that a working sensor never gives, between its own range and the ends of the input.',
    basis: 'Common practice, no source.',
  },
  *find({ installation }) {
    const { configuration } = installation;
    for (const [name, sensor] of sensorsOf(configuration, ...SCALED, 'thermistor', 'rtd')) {
      if (sensor.fault_outside) continue;
      const working = workingVolts(sensor);
      const mapping = nodeOf(sensor);
      const fixes =
        working && mapping.type === 'mapping'
          ? boundsFix(working, inputRange(installation, sensor), (line) => [
              insertEntry(mapping, 'fault_outside', { line }, mapping.entries.at(-1)),
            ])
          : [];
      yield {
        at: sensor.kind!.node,
        message: `${name} has no \`fault_outside\`: a broken wire would be believed.`,
        fixes,
      };
    }
  },
});

export const faultBoundsNeverReached: Check = engineCheck({
  id: 'fault-bounds-never-reached',
  severity: 'warning',
  title: 'Fault bounds that no fault reaches',
  page: {
    catches: 'A bound of `fault_outside` at or beyond the end of what the input can read.',
    why: 'A wire that breaks or shorts brings the input to its end, and no further. A bound there is never passed, so the fault goes unseen.',
    example: 'fault_outside: 0..5 V   # the input reads 0..5 V',
    remedy: 'Put each bound between the sensor’s working voltages and the end of the input.',
    basis: 'The meaning of the key. That each end matters is common practice, no source.',
  },
  *find({ installation }) {
    for (const [, sensor] of sensorsOf(installation.configuration, ...SCALED, 'thermistor', 'rtd')) {
      const bounds = sensor.fault_outside;
      const range = inputRange(installation, sensor);
      if (!bounds || !range) continue;
      const never: string[] = [];
      if (bounds.low.canonical <= range.low.canonical) never.push(`below ${volts(bounds.low.canonical)}`);
      if (bounds.high.canonical >= range.high.canonical) never.push(`above ${volts(bounds.high.canonical)}`);
      if (never.length === 0) continue;
      const working = workingVolts(sensor);
      yield {
        at: bounds.node,
        message: `The input reads ${volts(range.low.canonical)} to ${volts(range.high.canonical)}: nothing ${listed(never)} is ever seen.`,
        fixes: working ? boundsFix(working, range, (text) => [{ span: bounds.node, text }]) : [],
      };
    }
  },
});
