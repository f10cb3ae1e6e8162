import type { Sensor } from '../../generated/configuration.ts';
import { nodeOf } from '../configuration/values.ts';
import { inputRange, type OperandRange, sensorsOf } from '../derived/sensor-input.ts';
import { scalingPoints } from '../derived/sensor-scaling.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { kindAccepts, measuredQuantity } from '../quantity/index.ts';
import { insertEntry } from '../source/edit.ts';
import { type Check, engineCheck, type Fix } from './check.ts';
import { listOf, quote } from './form-words.ts';
import { formatNumber, formatStated, listed } from './words.ts';

const SCALED = ['ratiometric', 'linear'] as const;
const volts = (canonical: number): string => formatStated(canonical, 'V');

export const scalingNotMonotonic: Check = engineCheck({
  id: 'scaling-not-monotonic',
  severity: 'error',
  title: 'Scaling changes direction',
  page: {
    catches:
      'A scaling whose values do not rise or fall throughout with the voltage, that has the same voltage twice, or whose points have units of different kinds.',
    why: 'A voltage must stand for one value. Where the scaling turns back or stays flat, two pressures give the same voltage and the controller may act on the wrong one.',
    example: 'scaling: { 0.5 V: 20 kPa abs, 2.5 V: 160 kPa abs, 4.5 V: 130 kPa abs }',
    remedy: 'Correct the point that is out of line. The values of the data sheet only rise or only fall.',
    basis: 'A voltage must stand for exactly one value.',
  },
  *find({ installation: { configuration } }) {
    for (const [, sensor] of sensorsOf(configuration, ...SCALED)) {
      const written = [...(sensor.scaling?.points ?? [])].sort((a, b) => a.from.canonical - b.from.canonical);
      const kind = measuredQuantity(sensor.measures?.text ?? '')?.entry.kind ?? 'any';
      // Another check reports a point that is not a value of what is measured.
      if (written.some(({ to }) => !kindAccepts(kind, to.unit, to.reference))) continue;
      if (written.length >= 2 && scalingPoints(sensor).length === 0) {
        yield {
          at: sensor.scaling!.node,
          message: `The points have units of different kinds or different pressure references: ${listed(written.map(({ value }) => value.text))}.`,
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
        message: `The value changes from ${one.value.text} at ${one.key.text} to ${next.value.text} at ${next.key.text}, against the direction of the rest of the scaling.`,
        related: [{ at: one.value, message: 'The point before it.' }],
      };
    }
  },
});

export const scalingOutsideInput: Check = engineCheck({
  id: 'scaling-outside-input',
  severity: 'error',
  title: 'Signal outside the input range',
  onStandby: true,
  page: {
    catches:
      'Points of a scaling outside the range of the input or, for a ratiometric sensor, above its supply. Also a thermocouple used above the range of its input.',
    why: 'Outside its range an input always reads its end value, and may be destroyed. The sensor seems to work but saturates in the middle of its range.',
    example: 'scaling: { 0 V: 0 bar gauge, 10 V: 10 bar gauge }   # the input reads 0..5 V',
    remedy: 'Use an input with a wider range, a voltage divider, or a sensor whose signal fits.',
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
      // Without a controller file the input is taken to read up to the supply.
      const endsAtSupply = supply && (supply.canonical < inputEnd || supply.node === range?.high.node);
      const [limit, place, what] =
        endsAtSupply && outside.some(({ from }) => from.canonical > high)
          ? [`the supply of the sensor is ${volts(high)}`, supply.node, 'The supply of the sensor.']
          : [`the input reads ${volts(low)} to ${volts(inputEnd)}`, range?.high.node, 'The input’s range.'];
      yield {
        at: outside[0]!.key,
        message: `The scaling includes ${listed(outside.map(({ key }) => key.text))}, but ${limit}.`,
        related: place ? [{ at: place, message: what }] : [],
        cause: place,
      };
    }
    for (const [, { maximum, pin }] of sensorsOf(configuration, 'thermocouple')) {
      const range = pin && controller?.pins?.[pin.text]?.range;
      const isTemperature = maximum?.quantity.unit?.dimension === 'temperature';
      if (!range || !isTemperature || range.high.unit?.dimension !== 'temperature') continue;
      if (maximum.canonical <= range.high.canonical) continue;
      yield {
        at: maximum.node,
        message: `The sensor is used up to ${maximum.node.text}, but its input reads ${formatStated(range.low.canonical, '°C')} to ${formatStated(range.high.canonical, '°C')}.`,
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

/** The lowest and highest voltage of the scaling. */
function workingVolts(sensor: Sensor): Working | undefined {
  const inputs = sensor.scaling?.points.map(({ from }) => from.canonical) ?? [];
  return inputs.length < 2 ? undefined : { low: minimumOf(inputs), high: maximumOf(inputs) };
}

export const faultBoundsInsideScaling: Check = engineCheck({
  id: 'fault-bounds-inside-scaling',
  severity: 'error',
  title: 'Fault bounds inside the scaling',
  page: {
    catches: 'A bound of `fault_outside` between the lowest and the highest voltage of the scaling.',
    why: 'The controller would take a good reading near the end of the range for a broken wire and use the substitute value instead: at full boost the sensor would count as failed.',
    example: 'scaling: { 0.40 V: 20 kPa abs, 4.65 V: 300 kPa abs }\nfault_outside: 0.2..4.5 V',
    remedy: 'Move the bound outside the scaling, but keep it inside the range of the input.',
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
        message: `Signals ${listed(cut)} count as a fault, but the scaling runs from ${volts(working.low)} to ${volts(working.high)}.`,
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
  // Two decimals, rounded away from the scaling.
  const text = `${formatNumber(Math.floor(low * 100) / 100, 6)}..${formatNumber(Math.ceil(high * 100) / 100, 6)} V`;
  return [
    {
      title: `Set the fault bounds to ${text}, halfway between the scaling and the ends of the input range`,
      safety: 'choice',
      edits: edits(text),
    },
  ];
}

export const faultBoundsMissing: Check = engineCheck({
  id: 'fault-bounds-missing',
  severity: 'warning',
  title: 'Fault bounds missing',
  page: {
    catches: 'A sensor that is read as a voltage and has no `fault_outside`.',
    why: 'The controller then treats the extreme voltage of a broken or shorted wire as a reading: it floods an engine that seems cold, or starves one whose manifold seems to be at vacuum.',
    example:
      'sensors:\n  oil_pressure: { measures: oil_pressure, kind: linear, pin: A2, scaling: { 0.5 V: 0 bar gauge, 4.5 V: 10 bar gauge } }',
    remedy:
      'Write the bounds outside which no working sensor reads, each between the scaling and the end of the input range.',
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
        message: `${quote(name)} has no \`fault_outside\`, so the controller would treat the voltage of a broken wire as a reading.`,
        cause: nodeOf(sensor),
        fixes,
      };
    }
  },
});

export const faultBoundsNeverReached: Check = engineCheck({
  id: 'fault-bounds-never-reached',
  severity: 'warning',
  title: 'Fault bounds outside the input range',
  page: {
    catches: 'A bound of `fault_outside` at or beyond the end of the input range.',
    why: 'A broken or shorted wire takes the input to the end of its range and no further. It never passes a bound at that end, so the fault goes unnoticed.',
    example: 'fault_outside: 0..5 V   # the input reads 0..5 V',
    remedy: 'Put each bound between the scaling and the end of the input range.',
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
        message: `The input reads only ${volts(range.low.canonical)} to ${volts(range.high.canonical)}, so it cannot detect a fault ${listOf(never, 'or')}.`,
        cause: range.high.node,
        fixes: working ? boundsFix(working, range, (text) => [{ span: bounds.node, text }]) : [],
      };
    }
  },
});
