import type { Output, Pin } from '../../generated/configuration.ts';
import { pinUses } from '../configuration/pins.ts';
import { nodeOf, type QuantityValue } from '../configuration/values.ts';
import {
  currentBudget,
  currentOfCoils,
  currentOfHeaters,
  currentOfInjectors,
  supplyWireCurrent,
  supplyWireCurrents,
} from '../derived/current-budget.ts';
import type { FileValue } from '../derived/derivation.ts';
import { driverCurrent, driverLoad } from '../derived/loads.ts';
import { type DerivedValue, valueText } from '../derived/value.ts';
import { groupedBy } from '../grouped-by.ts';
import type { Node } from '../source/tree.ts';
import { type Check, type EngineSubject, engineCheck, type Related } from './check.ts';
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import { percent, percentBeside, statedBeside } from './words.ts';

interface Driven {
  readonly name: string;
  readonly output: Output;
  readonly pin: Pin;
  readonly value: DerivedValue;
  /** Where the pin is named, if it has a role that does not fit. */
  readonly wrongPin: Node | undefined;
}

/** Each pin that drives an output, with a derived value of the output. */
function drivenPins({ installation, derivation }: EngineSubject, definition: FileValue): Driven[] {
  const { configuration, controller } = installation;
  const values = new Map(derivation.get(definition).map((value) => [value.node, value]));
  const uses = new Map(pinUses(configuration).map((use) => [use.pin, use]));
  return Object.entries(configuration.outputs ?? {}).flatMap(([name, output]) => {
    const value = values.get(nodeOf(output));
    const named = [...(output.pin ? [output.pin] : []), ...(output.pins?.items ?? [])];
    return named.flatMap((one) => {
      const pin = controller?.pins?.[one.text];
      if (!pin || !value) return [];
      const fits = !pin.role || (uses.get(one)?.roles.includes(pin.role.text) ?? true);
      return { name, output, pin, value, wrongPin: fits ? undefined : one.node };
    });
  });
}

/** Outputs whose load is written at one place, represented by the first. */
interface Loaded {
  readonly at: Node;
  readonly worst: Driven;
  readonly words: string;
  /** If the pin has the wrong role, the pin is the cause. */
  readonly cause: Node | undefined;
}

/**
 * Groups outputs by the place that states their load: the output's own key, the resistance of all injectors in the fuel
 * section, or else the pin. A number that is wrong for four drivers is one finding.
 */
function byPlace(
  subject: EngineSubject,
  driven: readonly Driven[],
  written: (output: Output) => QuantityValue | undefined,
): Loaded[] {
  const ofInjectors = subject.installation.configuration.fuel?.injectors?.resistance;
  const placeOf = ({ output }: Driven): Node => {
    const alone = output.cylinders === undefined && output.drives?.text === 'injector';
    return (written(output) ?? (alone ? ofInjectors : undefined) ?? output.pin)?.node ?? nodeOf(output);
  };
  return [...groupedBy(driven, placeOf)].map(([at, members]) => {
    // A servo is one output on two drivers.
    const more = new Set(members.map(({ name }) => name)).size - 1;
    const words = `${quote(members[0]!.name)}${more > 0 ? ` (and ${more} more)` : ''}`;
    const cause = members.length === 1 ? members[0]!.wrongPin : undefined;
    return { at, worst: members[0]!, words, cause };
  });
}

export const loadBelowDriverMinimum: Check = engineCheck({
  id: 'load-below-driver-minimum',
  severity: 'error',
  title: 'Load resistance too low',
  onStandby: true,
  page: {
    catches: 'A load below the `minimum_load` of its driver. Several loads on one driver are in parallel.',
    why: 'A driver for high-resistance injectors burns out with low-resistance injectors, or with two in parallel.',
    example: 'fuel:\n  injectors: { resistance: 2.4 ohm }   # the driver needs 10 ohm or more',
    remedy: 'Use injectors with a higher resistance, a series resistor for each, or one driver per injector.',
    basis: 'The limit that the controller file states.',
  },
  *find(subject) {
    const low = drivenPins(subject, driverLoad).filter(
      ({ pin, value }) => pin.minimum_load && passes(pin.minimum_load.canonical, value.canonical),
    );
    for (const { at, worst, words, cause } of byPlace(subject, low, ({ resistance }) => resistance)) {
      const { node } = worst.pin.minimum_load!;
      yield {
        at,
        message: `Load of ${valueText(worst.value)} on ${words} is below the driver’s minimum of ${statedBeside(worst.pin.minimum_load!, worst.value.show)}.`,
        related: [{ at: node, message: 'The minimum load of the driver.' }],
        cause,
      };
    }
  },
});

/** How a current follows, without repeating the number of one that was only read: `stated in the file`. */
function originText(value: DerivedValue): string {
  const number = `: ${valueText(value)}`;
  return value.substituted.endsWith(number) ? value.substituted.slice(0, -number.length) : value.substituted;
}

export const driverOvercurrent: Check = engineCheck({
  id: 'driver-overcurrent',
  severity: 'error',
  title: 'Driver overloaded',
  onStandby: true,
  page: {
    catches:
      'A load whose current at the maximum supply voltage is above the `maximum_current` of its driver.',
    why: 'An overloaded driver heats up until it fails or shuts down, which stops an injector or a coil in flight.',
    example:
      'outputs:\n  caution_light: { drives: light, pin: C13, resistance: 12 ohm }   # 1.25 A on a driver for 0.5 A',
    remedy: 'Use a load that draws less current, a stronger driver, or a relay.',
    basis:
      'Ohm’s law at the maximum supply voltage of the harness; the limit that the controller file states.',
  },
  *find(subject) {
    const high = drivenPins(subject, driverCurrent).filter(
      ({ pin, value }) => pin.maximum_current && passes(value.canonical, pin.maximum_current.canonical),
    );
    const stated = ({ current, resistance }: Output) => current ?? resistance;
    for (const { at, worst, words, cause } of byPlace(subject, high, stated)) {
      const { node } = worst.pin.maximum_current!;
      yield {
        at,
        message: `Load current on ${words} is ${valueText(worst.value)} (${originText(worst.value)}), above the driver’s maximum of ${statedBeside(worst.pin.maximum_current!, worst.value.show)}.`,
        related: [{ at: node, message: 'The maximum current of the driver.' }],
        cause,
      };
    }
  },
});

function budgetParts({ derivation }: EngineSubject): Related[] {
  return [currentOfInjectors, currentOfCoils, currentOfHeaters].flatMap((part) =>
    derivation
      .get(part)
      .map((value) => ({ at: value.node, message: `${value.label}: ${valueText(value)}.` })),
  );
}

export const generatorOverload: Check = engineCheck({
  id: 'generator-overload',
  severity: 'warning',
  title: 'Generator overloaded',
  page: {
    catches:
      'Loads that together leave too small a margin on the continuous generator current. Loads above the whole generator current are an error. If the stated currents of the supply wires add up to more than the loads, their sum is used instead.',
    why: 'An overloaded generator drains the battery, and the engine stops when the battery is empty.',
    example: 'harness:\n  supply: { generator_current: 12 A }   # injectors, coils and pump take 17 A',
    remedy:
      'Fit a stronger generator or remove loads. State the currents of loads that the file does not describe.',
    basis:
      'Sum of the currents. The margin of 20 % follows the rule that the continuous load must not exceed 80 % of the generator current: FAA AC 43.13-1B, chapter 11, section 3 (from memory).',
  },
  settings: {
    reserve: {
      kind: 'ratio',
      value: '20 %',
      meaning: 'Part of the generator current that the loads must leave free.',
    },
  },
  *find(subject, { reserve }) {
    const { configuration } = subject.installation;
    const generator = configuration.harness?.supply?.generator_current;
    const described = subject.derivation.one(currentBudget);
    const stated = subject.derivation.one(supplyWireCurrent);
    const more = stated && stated.canonical > (described?.canonical ?? 0) ? stated : described;
    if (!generator || !more || !passes(more.canonical, generator.canonical * (1 - reserve))) return;
    const over = passes(more.canonical, generator.canonical);
    const left = passes(generator.canonical, more.canonical) ? 1 - more.canonical / generator.canonical : 0;
    const what = more === stated ? 'The supply wires carry' : 'The loads draw';
    const rest = over
      ? `more than the generator current of ${generator.node.text}. The battery supplies the rest until it is empty`
      : `which leaves ${percentBeside(left, reserve, 2)} of the generator current of ${generator.node.text}; a margin of ${percent(reserve)} is usual`;
    yield {
      at: generator.node,
      severity: over ? 'error' : 'warning',
      message: `${what} ${valueText(more)}, ${rest}.`,
      related:
        more === stated
          ? supplyWireCurrents(configuration).map(({ node }) => ({ at: node, message: 'A supply wire.' }))
          : budgetParts(subject),
    };
  },
});
