import type { Dimension, Kind, PressureReference } from './kinds.ts';
import type { Unit } from './unit.ts';
import { formatUnit } from './unit-text.ts';
import { unitsOf } from './units.ts';

interface KindRule {
  /** With its article, for use in a sentence. */
  readonly noun: string;
  /** An example of such a value. */
  readonly example: string;
  /** The dimensions whose units fit; all of them if undefined. */
  readonly dimensions?: readonly Dimension[];
  readonly mayBeBare?: boolean;
  readonly references?: readonly PressureReference[];
  readonly isDifference?: boolean;
}

const rule = (dimension: Dimension, noun: string, example: string): KindRule => ({
  noun,
  example,
  dimensions: [dimension],
});

const pressure = (noun: string, example: string, ...references: PressureReference[]): KindRule => ({
  ...rule('pressure', noun, example),
  references,
});

const rules: Readonly<Record<Kind, KindRule>> = {
  number: { noun: 'a number without a unit', example: '9.0', dimensions: [], mayBeBare: true },
  ratio: { ...rule('ratio', 'a ratio', '85 %'), mayBeBare: true },
  any: { noun: 'a number with its unit', example: '', mayBeBare: true },
  length: rule('length', 'a length', '76 mm'),
  area: rule('area', 'an area', '2.5 mm2'),
  volume: rule('volume', 'a volume', '1.3 L'),
  mass: rule('mass', 'a mass', '12 mg'),
  time: rule('time', 'a time', '1.2 ms'),
  'rotational speed': rule('rotational speed', 'a rotational speed', '5500 rpm'),
  speed: rule('speed', 'a speed', '14 m/s'),
  temperature: rule('temperature', 'a temperature', '85 °C'),
  'temperature difference': {
    ...rule('temperature', 'a temperature difference', '15 K'),
    isDifference: true,
  },
  'absolute pressure': pressure('an absolute pressure', '150 kPa abs', 'absolute'),
  'gauge pressure': pressure('a gauge pressure', '0.5 bar gauge', 'gauge'),
  pressure: pressure('an absolute or a gauge pressure', '150 kPa abs', 'absolute', 'gauge'),
  'pressure difference': pressure('a pressure difference', '5 kPa', 'difference'),
  'rail pressure': pressure('a rail pressure', '3.0 bar', 'difference', 'gauge'),
  voltage: rule('voltage', 'a voltage', '13.8 V'),
  current: rule('current', 'a current', '7.0 A'),
  resistance: rule('resistance', 'a resistance', '2.49 kohm'),
  inductance: rule('inductance', 'an inductance', '3.2 mH'),
  capacitance: rule('capacitance', 'a capacitance', '1.5 uF'),
  frequency: rule('frequency', 'a frequency', '7.5 kHz'),
  angle: rule('angle', 'an angle', '12 deg'),
  'crank angle': { ...rule('angle', 'a crank angle', '240 deg'), mayBeBare: true },
  'angular speed': rule('angular speed', 'an angular speed', '6 deg/s'),
  'angle per second': {
    noun: 'an angle per second',
    example: '0.5 deg/s',
    dimensions: ['angular speed', 'angle'],
  },
  power: rule('power', 'a power', '95 kW'),
  torque: rule('torque', 'a torque', '165 Nm'),
  energy: rule('energy', 'an energy', '75 mJ'),
  density: rule('density', 'a density', '0.745 kg/L'),
  'volume flow': rule('volume flow', 'a volume flow', '120 L/h'),
  'mass flow': rule('mass flow', 'a mass flow', '28 kg/h'),
  'fuel flow': {
    noun: 'a fuel flow by volume or mass',
    example: '38 L/h',
    dimensions: ['volume flow', 'mass flow'],
  },
  'specific consumption': rule('specific consumption', 'a specific fuel consumption', '300 g/kWh'),
  'specific energy': rule('specific energy', 'a specific energy', '42 MJ/kg'),
  'data size': rule('data size', 'a data size', '12 bit'),
  'data rate': rule('data rate', 'a data rate', '500 kbit/s'),
  'wire gauge': rule('wire gauge', 'a wire gauge', '16 AWG'),
};

export type Mismatch =
  | 'unit-missing'
  | 'unit-unexpected'
  | 'wrong-kind'
  | 'reference-missing'
  | 'reference-unexpected';

/** Why a unit (none for a number without one) with its reference does not fit the kind; undefined if it fits. */
export function misfit(kind: Kind, unit?: Unit, reference?: PressureReference): Mismatch | undefined {
  const { dimensions, mayBeBare, references, isDifference } = rules[kind];
  if (!unit) return mayBeBare ? undefined : 'unit-missing';
  if (!dimensions) return undefined;
  if (dimensions.length === 0) return 'unit-unexpected';
  if (!dimensions.includes(unit.dimension)) return 'wrong-kind';
  if (isDifference && unit.symbol !== 'K') return 'wrong-kind';
  if (!references || references.includes(reference ?? 'difference')) return undefined;
  return (reference ?? 'difference') === 'difference' ? 'reference-missing' : 'reference-unexpected';
}

export function kindAccepts(kind: Kind, unit?: Unit, reference?: PressureReference): boolean {
  return misfit(kind, unit, reference) === undefined;
}

/** The dimension of a kind's units; undefined for `any` and for a kind of several dimensions. */
export function dimensionOf(kind: Kind): Dimension | undefined {
  if (kind === 'number') return 'number';
  const { dimensions } = rules[kind];
  return dimensions?.length === 1 ? dimensions[0] : undefined;
}

/** `` an absolute pressure, such as `150 kPa abs` `` */
export function describeKind(kind: Kind): string {
  const { noun, example } = rules[kind];
  return example === '' ? noun : `${noun}, such as \`${example}\``;
}

/** The unit of the kind's example, with its reference word: `kPa abs`; empty if a number without a unit is usual. */
export function exampleUnit(kind: Kind): string {
  return rules[kind].example.replace(/^\S+\s*/, '');
}

/** Every way to write the kind's unit, for completion: the example's first, then in the table's order. */
export function unitTexts(kind: Kind): string[] {
  const { dimensions = [], references = [undefined] } = rules[kind];
  const example = exampleUnit(kind);
  const texts = dimensions
    .flatMap(unitsOf)
    .flatMap((unit) =>
      references.filter((reference) => kindAccepts(kind, unit, reference)).map((r) => formatUnit(unit, r)),
    );
  return [...new Set(example === '' ? texts : [example, ...texts])];
}
