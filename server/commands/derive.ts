import { counted } from '../../shared/counted.ts';
import type { Derivation } from '../../shared/derived/derivation.ts';
import type { OperatingPoint } from '../../shared/derived/operating-point.ts';
import { allOfPoint, fileValues } from '../../shared/derived/registry.ts';
import type { DerivedValue } from '../../shared/derived/value.ts';
import { groupedBy } from '../../shared/grouped-by.ts';
import { formatStated } from '../../shared/quantity/index.ts';
import { pathOf, pathText } from '../../shared/source/tree.ts';
import type { ValueGroup } from '../formats/derive-report.ts';

import { deriveFormats } from '../formats/registry.ts';
import { formatOf, oneOf } from './call.ts';
import { type Command, type Status, UsageError } from './command.ts';
import { engineAnalysis } from './engine-file.ts';

export const derive: Command = {
  options: {
    point: { value: 'NAME', meaning: 'print only the values of this operating point' },
    format: { choices: deriveFormats.map(({ name }) => name), meaning: 'output format' },
  },
  description: `Prints every derived value of an engine file, first for the whole installation, then for each
operating point, with its formula, the numbers in the formula, and the source. Values that cannot be derived because
of a fault in the file are left out; \`enginewright check\` shows the fault.

Exit status: 0 if values were printed, 2 if none could be derived.`,
  async run(call): Promise<Status> {
    const [name, ...more] = call.operands;
    if (name === undefined || more.length > 0) throw new UsageError('`derive` takes one engine file.');
    const format = await formatOf(call, deriveFormats);
    const { findings, derivation } = engineAnalysis(name, 'derive');
    const groups = valueGroups(derivation, call.option('point'));
    const errors = findings.filter(({ severity }) => severity === 'error').length;
    const { out, err } = call.terminal;
    if (groups.length === 0) {
      throw new UsageError(
        `Nothing can be derived from ${name}. Run \`enginewright check ${name}\` to see what is missing.`,
      );
    }
    out(format.write({ name, groups, derivation }, call.terminal));
    if (errors > 0) {
      const found = `${name} has ${counted(errors, 'error')}, so values may be missing or wrong`;
      err(`enginewright: ${found}. Run \`enginewright check ${name}\`.\n`);
    }
    return 0;
  },
};

/** In reading order, without empty groups; a value of the file that is placed at an operating point is listed there. */
export function valueGroups(derivation: Derivation, wanted?: string): ValueGroup[] {
  const { points } = derivation;
  if (wanted !== undefined && !derivation.point(wanted))
    throw new UsageError(unknownPoint(derivation, wanted));
  const ofFile = fileValues.flatMap((definition) => derivation.get(definition));
  const places = new Set(points.map(placeOf));
  const byPlace = groupedBy(ofFile, ({ at }) => at);
  const whole = {
    title: 'Whole installation',
    conditions: [],
    values: ofFile.filter(({ at }) => !places.has(at)),
  };
  const ofPoints = points
    .filter(({ name }) => wanted === undefined || name === wanted)
    .map((point) => pointGroup(point, byPlace.get(placeOf(point)) ?? []));
  return [...(wanted === undefined ? [whole] : []), ...ofPoints].filter(({ values }) => values.length > 0);
}

function placeOf({ node }: OperatingPoint): string {
  return pathText(pathOf(node));
}

function unknownPoint({ points }: Derivation, wanted: string): string {
  if (points.length === 0) return 'The file has no operating point with a speed.';
  return `Operating point \`${wanted}\` does not exist; use ${oneOf(points.map(({ name }) => name))}.`;
}

function pointGroup(point: OperatingPoint, ofFile: readonly DerivedValue[]): ValueGroup {
  return {
    title: `Operating point ${point.name}`,
    conditions: conditionsOf(point),
    values: [...allOfPoint(point), ...ofFile],
  };
}

function conditionsOf({ conditions, engine }: OperatingPoint): string[] {
  const { speed, throttle, pressureAltitude, isaDeviation, coolantTemperature, batteryVoltage } = conditions;
  const { trueAirspeed } = conditions;
  const texts = [formatStated(speed.canonical, 'rpm')];
  if (throttle) texts.push(`throttle ${formatStated(throttle.canonical, '%')}`);
  texts.push(
    `pressure altitude ${formatStated(pressureAltitude.canonical, 'ft')}`,
    `ISA deviation ${formatStated(isaDeviation.canonical, 'K')}`,
    `coolant ${formatStated(coolantTemperature.canonical, '°C')}`,
    `battery ${formatStated(batteryVoltage.canonical, 'V')}`,
  );
  if (trueAirspeed) texts.push(`true airspeed ${formatStated(trueAirspeed.canonical, 'kt')}`);
  if (engine.mapSet !== undefined) texts.push(`map set ${engine.mapSet}`);
  return texts;
}
