import type { Sensor } from '../../generated/configuration.ts';
import type { Engine } from '../configuration/installation.ts';
import { highestOfEngine } from '../derived/boost-target.ts';
import { fuelPressureIn, isGauge } from '../derived/fuel-pressure.ts';
import { SEA_LEVEL } from '../derived/full-load.ts';
import { lambdaTargets } from '../derived/loop-targets.ts';
import { limitsOfAll, referenceOf, thresholdsOf, writtenValues } from '../derived/protection.ts';
import {
  accordingTo,
  type NamedSensor,
  type Reportable,
  reportable,
  sensorsByQuantity,
} from '../derived/sensor-reading.ts';
import { maximumOf, minimumOf } from '../extremes.ts';
import { groupedBy } from '../grouped-by.ts';
import type { Node } from '../source/tree.ts';
import { type Check, type EngineSubject, engineCheck, type Found } from './check.ts';
import { ambientPressures, extremeStates, knownPressures } from './extreme-states.ts';
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import { formatNumber, formatQuantity, percent } from './words.ts';

/** A value that a sensor must be able to read, in its own reference. */
interface Demand {
  readonly side: 'low' | 'high';
  readonly canonical: number;
  readonly show: string;
  /** What has the value, to follow "but". */
  readonly words: string;
}

interface Settings {
  readonly idle: number;
  readonly cold: number;
  readonly rail: number;
}

type Demanding = (subject: EngineSubject, reach: Reportable, settings: Settings) => Demand[];

/** The lowest manifold pressure that the file states or, at the latest, that of an idling engine. */
const manifold: Demanding = ({ installation, derivation }, { reference }, { idle }) => {
  const known = installation.selectable.flatMap((engine) => knownPressures(derivation, engine));
  const least = Math.min(idle, ...known);
  const words = least < idle ? 'manifold pressure falls to' : 'manifold pressure at idle is usually below';
  return [{ side: 'low', canonical: inReferenceOf(reference, least), show: unitOf(reference), words }];
};

const inReferenceOf = (reference: Reportable['reference'], absolute: number): number =>
  reference === 'gauge' ? absolute - SEA_LEVEL : absolute;

const unitOf = (reference: Reportable['reference']): string =>
  reference === 'gauge' ? 'kPa gauge' : 'kPa abs';

/** Ambient pressure at the highest altitude of the operating points and the envelope. */
const ambient: Demanding = ({ derivation }, { reference }) => {
  const pressures = ambientPressures(derivation);
  if (reference === 'gauge' || pressures.length === 0) return [];
  const words = 'ambient pressure at the highest altitude is';
  return [{ side: 'low', canonical: minimumOf(pressures), show: 'kPa abs', words }];
};

/** The pressure that the regulator holds, in the reference of the sensor, with a margin. */
const fuel: Demanding = ({ installation, derivation }, { reference }, { rail: margin }) => {
  const pressure = installation.configuration.fuel?.rail?.pressure;
  if (!pressure) return [];
  const given = pressure.quantity.reference;
  const states = [
    ...derivation.points,
    ...installation.selectable.flatMap((engine) => extremeStates(derivation, engine, pressure.node)),
  ];
  const held =
    isGauge(given) === isGauge(reference)
      ? [pressure.canonical]
      : states.flatMap((state) => fuelPressureIn(state, pressure, given, reference)?.canonical ?? []);
  if (held.length === 0) return [];
  return [
    {
      side: 'high',
      canonical: maximumOf(held) * (1 + margin),
      show: isGauge(reference) ? 'bar gauge' : 'bar',
      words: `the pressure that the regulator holds, with a margin of ${percent(margin)}, is`,
    },
  ];
};

const temperature: Demanding = (_subject, _reach, { cold }) => [
  { side: 'low', canonical: cold, show: '°C', words: 'a cold start happens at' },
];

const throttle: Demanding = ({ derivation }) => {
  const stated = derivation.points.flatMap(({ conditions }) => conditions.throttle?.canonical ?? []);
  if (stated.length === 0) return [];
  const words = 'the operating points need';
  return [
    { side: 'low', canonical: minimumOf(stated), show: '%', words: `${words} down to` },
    { side: 'high', canonical: maximumOf(stated), show: '%', words: `${words} up to` },
  ];
};

/** The targets that the lambda loop follows or, without a loop, all that the engine reaches. */
const lambda: Demanding = ({ installation: { selectable } }) => {
  const targets = selectable.flatMap((engine) => {
    const most = highestOfEngine(engine)?.target.canonical ?? SEA_LEVEL;
    return lambdaTargets(engine, most).map((target) => target.lambda);
  });
  if (targets.length === 0) return [];
  const words = (most: string) =>
    `the ${most} target${selectable.some(hasLoop) ? ' of the lambda loop' : ''} is`;
  return [
    { side: 'low', canonical: minimumOf(targets), show: '', words: words('richest') },
    { side: 'high', canonical: maximumOf(targets), show: '', words: words('leanest') },
  ];
};

const hasLoop = ({ configuration }: Engine): boolean => configuration.closed_loop?.lambda !== undefined;

/** The lowest oil pressure at which a limit comes on. */
const oil: Demanding = ({ installation }, { reference }) => {
  const bounds = limitsOfAll(installation)
    .filter(({ watches, direction }) => watches === 'oil_pressure' && direction === 'below')
    .flatMap((limit) => thresholdsOf(limit))
    .filter(({ threshold }) => referenceOf(threshold) === reference)
    .flatMap(({ threshold }) => writtenValues(threshold).map(({ canonical }) => canonical));
  if (bounds.length === 0) return [];
  const show = reference === 'absolute' ? 'bar abs' : 'bar gauge';
  return [{ side: 'low', canonical: minimumOf(bounds), show, words: 'a limit comes on below' }];
};

const DEMANDS: Readonly<Record<string, Demanding>> = {
  manifold_pressure: manifold,
  ambient_pressure: ambient,
  fuel_pressure: fuel,
  coolant_temperature: temperature,
  charge_temperature: temperature,
  intake_air_temperature: temperature,
  throttle_position: throttle,
  lambda,
  oil_pressure: oil,
};

/** What a sensor reports, by its scaling if that ends before the fault bounds: beyond it the data sheet says nothing. */
function reachOf({ installation }: EngineSubject, sensor: Sensor): Reportable | undefined {
  const reach = reportable(installation, sensor);
  const ends = sensor.scaling?.points.map(({ to }) => to.canonical) ?? [];
  if (!reach || ends.length < 2) return reach;
  const [low, high] = [Math.max(reach.low, minimumOf(ends)), Math.min(reach.high, maximumOf(ends))];
  const byEnds = accordingTo('scaling');
  const by = {
    low: minimumOf(ends) >= reach.low ? byEnds : reach.by.low,
    high: maximumOf(ends) <= reach.high ? byEnds : reach.by.high,
  };
  return { ...reach, low, high, by };
}

const isMissed = ({ side, canonical }: Demand, { low, high }: Reportable): boolean =>
  side === 'low' ? passes(low, canonical) : passes(canonical, high);

const placeIn = ({ range, scaling, maximum, minimum, measures }: Sensor): Node =>
  (range ?? scaling ?? maximum ?? minimum ?? measures!).node;

const textOf = (canonical: number, show: string): string =>
  show === '' ? formatNumber(canonical) : formatQuantity(canonical, show);

export const sensorRangeShort: Check = engineCheck({
  id: 'sensor-range-short',
  severity: 'warning',
  title: 'Sensor range too short',
  page: {
    catches:
      'A sensor whose range excludes a value that occurs: manifold pressure at idle, ambient pressure at the highest altitude, the pressure that the fuel regulator holds, a cold start, the throttle of the operating points, the lambda targets, or an oil pressure at which a limit comes on. If several sensors measure a quantity, one of them needs the range.',
    why: 'At the end of its range a sensor reads the same whatever happens. The controller then takes a lower manifold pressure for the end of the range and injects too much, or corrects the mixture from a reading that no longer changes.',
    example:
      'fuel: { rail: { pressure: 3.0 bar, ... } }\nsensors:\n  fuel_pressure: { measures: fuel_pressure, kind: ratiometric, scaling: { 0.5 V: 0 bar, 4.5 V: 2.5 bar } }',
    remedy: 'Fit a sensor with a range that includes the value, or correct the scaling or the fault bounds.',
    basis: 'Where the file does not state the value, common practice, no source.',
  },
  settings: {
    idle: {
      kind: 'absolute pressure',
      value: '50 kPa abs',
      meaning: 'Manifold pressure that a sensor must read, if the engine is not known to run lower.',
    },
    cold: {
      kind: 'temperature',
      value: '-15 °C',
      meaning: 'Temperature that the sensors of coolant and air must read.',
    },
    rail: {
      kind: 'ratio',
      value: '10 %',
      meaning: 'Margin of the fuel pressure sensor above the pressure that the regulator holds.',
    },
  },
  *find(subject, settings) {
    const { configuration } = subject.installation;
    for (const [quantity, sensors] of configuration.sensors ? sensorsByQuantity(configuration.sensors) : []) {
      const demanding = DEMANDS[quantity];
      if (!demanding) continue;
      for (const alike of groupedBy(sensors, ([, { measures }]) => measures?.text).values())
        yield* shortOf(subject, alike, demanding, settings);
    }
  },
});

/** What none of the sensors of one quantity can read, at the first of them. */
function* shortOf(
  subject: EngineSubject,
  alike: readonly NamedSensor[],
  demanding: Demanding,
  settings: Settings,
): Generator<Found> {
  const reaches = alike.map(([, sensor]) => reachOf(subject, sensor));
  const [[name, sensor], reach] = [alike[0]!, reaches[0]];
  if (!reach || reaches.some((one) => !one || one.reference !== reach.reference)) return;
  for (const demand of demanding(subject, reach, settings)) {
    if (!reaches.every((one) => isMissed(demand, one!))) continue;
    const { side, canonical, show, words } = demand;
    yield {
      at: placeIn(sensor),
      message: `${quote(name)} reads only ${side === 'low' ? 'down' : 'up'} to ${textOf(reach[side], show)} ${reach.by[side]}, but ${words} ${textOf(canonical, show)}.`,
      cause: `${name} reads no ${side === 'low' ? 'less' : 'more'}`,
    };
  }
}
