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
import { formatOf } from './call.ts';
import { type Command, Refusal, type Status } from './command.ts';
import { engineAnalysis } from './engine-file.ts';

export const derive: Command = {
  options: {
    point: { value: 'NAME', meaning: 'only the values of this operating point' },
    format: { choices: deriveFormats.map(({ name }) => name), meaning: 'how to print the values' },
  },
  description: `Prints every value that follows from an engine file: first those of the whole file, then those
of each operating point. A value comes with its formula, the formula with the numbers put in, and its source.

Exit status: 0 where values were printed, 2 where none could be derived. What a fault in the file leaves
undetermined is left out; \`enginewright check\` names the fault.`,
  async run(call): Promise<Status> {
    const [name, ...more] = call.operands;
    if (name === undefined || more.length > 0) throw new Refusal('`derive` needs one engine file.');
    const format = await formatOf(call, deriveFormats);
    const { findings, derivation } = engineAnalysis(name, 'values are derived from');
    const groups = valueGroups(derivation, call.option('point'));
    const errors = findings.filter(({ severity }) => severity === 'error').length;
    const { out, err } = call.terminal;
    if (groups.length === 0) {
      throw new Refusal(
        `Nothing can be derived from ${name}. \`enginewright check ${name}\` says what is missing.`,
      );
    }
    out(format.write({ name, groups }, call.terminal));
    if (errors > 0) {
      const found = `${name} has ${counted(errors, 'error')}, so values may be missing or wrong`;
      err(`enginewright: ${found}. See \`enginewright check ${name}\`.\n`);
    }
    return 0;
  },
};

/** In reading order, without empty groups; values of the file that speak of a point stand with the point. */
export function valueGroups(derivation: Derivation, wanted?: string): ValueGroup[] {
  const { points } = derivation;
  if (wanted !== undefined && !derivation.point(wanted)) throw new Refusal(unknownPoint(derivation, wanted));
  const ofFile = fileValues.flatMap((definition) => derivation.get(definition));
  const places = new Set(points.map(placeOf));
  const byPlace = groupedBy(ofFile, ({ at }) => at);
  const whole = {
    title: 'The whole file',
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
  const names = points.map(({ name }) => `\`${name}\``).join(', ');
  return `There is no operating point \`${wanted}\`; there is ${names}.`;
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
  const texts = [formatStated(speed.canonical, 'rpm')];
  if (throttle) texts.push(`throttle ${formatStated(throttle.canonical, '%')}`);
  texts.push(
    `pressure altitude ${formatStated(pressureAltitude.canonical, 'ft')}`,
    `ISA deviation ${formatStated(isaDeviation.canonical, 'K')}`,
    `coolant ${formatStated(coolantTemperature.canonical, '°C')}`,
    `battery ${formatStated(batteryVoltage.canonical, 'V')}`,
  );
  if (engine.mapSet !== undefined) texts.push(`map set ${engine.mapSet}`);
  return texts;
}
