import { PLACEHOLDER } from '../configuration/bind.ts';
import { type Answers, type Question, valueText } from './answers.ts';

/** The content of a key: the text of its value, further keys, or `open` for a value that only the calibrator knows. */
export type Content = string | typeof open | Outline;

export interface Outline {
  readonly [key: string]: Content;
}

/** A value left to the calibrator: its form is written, with a placeholder for every number and choice. */
export const open = Symbol('open');

/** A list left to the calibrator. It has a placeholder because an empty list could be intended. */
const openList = `[${PLACEHOLDER}]`;

/** Everything that a first run needs, without the sections that this kind of engine does not use. */
export function outlineOf(answers: Answers): Outline {
  const given = (question: Question): Content => {
    const answer = answers[question]?.trim();
    return answer ? valueText(question, answer) : open;
  };
  return {
    enginefile: '1',
    title: given('title'),
    // Of this first text; a controller may store it as its identity.
    revision: '1',
    controller: given('controller'),
    engine: engine(given),
    fuel,
    ignition,
    intake: { loss: open },
    ...(answers.boosted && { boost }),
    sensors,
    outputs: outputs(countOf(answers.cylinders)),
    protection,
    harness: { supply: allOpen('nominal', 'minimum', 'maximum', 'generator_current') },
    operating_points: operatingPoints(answers.boosted),
  };
}

const engine = (given: (question: Question) => Content): Outline => ({
  layout: open,
  cylinders: given('cylinders'),
  cycle: open,
  bore: given('bore'),
  stroke: given('stroke'),
  compression_ratio: open,
  firing_order: openList,
  ...allOpen('idle_speed', 'rated_speed', 'maximum_speed', 'rated_power', 'specific_consumption'),
  reduction_ratio: open,
});

const fuel: Outline = {
  grade: open,
  rail: allOpen('regulator', 'pressure', 'fault_pressure', 'pump_flow'),
  injectors: {
    ...allOpen('per_cylinder', 'static_flow', 'rated_pressure', 'test_fluid_density', 'resistance'),
    ...allOpen('minimum_pulse', 'maximum_duty', 'timing', 'dead_time'),
  },
  ...allOpen('volumetric_efficiency', 'target_lambda', 'warm_up_enrichment', 'cranking_pulse'),
};

const ignition: Outline = {
  ...allOpen('plugs_per_cylinder', 'system', 'arrangement', 'advance', 'advance_range'),
  coil: allOpen('primary_resistance', 'primary_inductance', 'target_current', 'energy'),
  ...allOpen('dwell', 'charge_temperature_retard'),
};

const boost: Outline = {
  ...allOpen('control', 'target'),
  compressor: allOpen('maximum_pressure_ratio', 'efficiency'),
  intercooler: allOpen('effectiveness', 'pressure_loss'),
  overboost_cut: open,
};

const sensors: Outline = Object.fromEntries(
  [
    ...['manifold_pressure', 'throttle_position', 'coolant_temperature', 'charge_temperature'],
    ...['oil_pressure', 'crank_position'],
  ].map((quantity) => [quantity, { measures: quantity, kind: open, pin: open }]),
);

function outputs(cylinders: number): Outline {
  const numbers = Array.from({ length: cylinders }, (_, index) => index + 1);
  const all = (drives: string) =>
    numbers.map((number) => [`${drives}_${number}`, { drives, cylinder: String(number), pin: open }]);
  return Object.fromEntries([...all('injector'), ...all('ignition')]);
}

const protection: Outline = {
  oil_pressure_low: {
    watches: 'oil_pressure',
    below: { caution: `${PLACEHOLDER} bar gauge`, warning: `${PLACEHOLDER} bar gauge` },
    hysteresis: `${PLACEHOLDER} bar`,
    delay: open,
    action: openList,
  },
  coolant_hot: {
    watches: 'coolant_temperature',
    above: { caution: `${PLACEHOLDER} °C`, warning: `${PLACEHOLDER} °C` },
    hysteresis: `${PLACEHOLDER} K`,
    delay: open,
    action: openList,
  },
  overspeed: {
    watches: 'engine_speed',
    above: { caution: `${PLACEHOLDER} rpm`, warning: `${PLACEHOLDER} rpm` },
    hysteresis: `${PLACEHOLDER} rpm`,
    delay: open,
    action: openList,
  },
};

/** Without boost, manifold pressure is known only at full throttle; any other point must state it. */
function operatingPoints(boosted: boolean | undefined): Outline {
  const point = allOpen('speed', 'throttle', 'pressure_altitude', 'isa_deviation');
  return { take_off: point, cruise: boosted ? point : { ...point, manifold_pressure: open } };
}

/** The maximum of the format. */
const MOST_CYLINDERS = 24;

function countOf(cylinders = ''): number {
  const count = /^\s*\d+\s*$/.test(cylinders) ? Number(cylinders) : 1;
  return Math.min(Math.max(count, 1), MOST_CYLINDERS);
}

function allOpen(...keys: string[]): Outline {
  return Object.fromEntries(keys.map((key) => [key, open]));
}
