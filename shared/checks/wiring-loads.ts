import type { Output, Pin } from '../../generated/configuration.ts';
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
import { passes } from './threshold.ts';
import { percent, percentBeside } from './words.ts';

interface Driven {
  readonly name: string;
  readonly output: Output;
  readonly pin: Pin;
  readonly value: DerivedValue;
}

/** Each pin that drives something, with a derived value of the output. */
function drivenPins({ installation, derivation }: EngineSubject, definition: FileValue): Driven[] {
  const { configuration, controller } = installation;
  const values = new Map(derivation.get(definition).map((value) => [value.node, value]));
  return Object.entries(configuration.outputs ?? {}).flatMap(([name, output]) => {
    const value = values.get(nodeOf(output));
    const pins = [output.pin, ...(output.pins?.items ?? [])].flatMap(
      (one) => (one && controller?.pins?.[one.text]) ?? [],
    );
    return value ? pins.map((pin) => ({ name, output, pin, value })) : [];
  });
}

/** Outputs whose load is written at one place, by the first of them. */
interface Loaded {
  readonly at: Node;
  readonly worst: Driven;
  readonly words: string;
}

/**
 * Groups outputs by the place that states their load: the output's own key, what the fuel section says of every injector, else
 * the pin. A number that is wrong for four drivers is wrong once.
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
    const words = `${members[0]!.name}${more > 0 ? ` (and ${more} more)` : ''}`;
    return { at, worst: members[0]!, words };
  });
}

export const loadBelowDriverMinimum: Check = engineCheck({
  id: 'load-below-driver-minimum',
  severity: 'error',
  title: 'The load is too low for its driver',
  page: {
    catches:
      'A load whose resistance, with all that hangs on one driver in parallel, is below the driver’s `minimum_load`.',
    why: 'A driver for high-resistance injectors burns out on low-resistance ones, or on two in parallel.',
    example: 'fuel:\n  injectors: { resistance: 2.4 ohm }   # the driver needs 10 ohm or more',
    remedy:
      'Use injectors of higher resistance, a series resistor for each, or one driver for each injector.',
    basis: 'The limit that the controller file states.',
  },
  *find(subject) {
    const low = drivenPins(subject, driverLoad).filter(
      ({ pin, value }) => pin.minimum_load && passes(pin.minimum_load.canonical, value.canonical),
    );
    for (const { at, worst, words } of byPlace(subject, low, ({ resistance }) => resistance)) {
      const { node } = worst.pin.minimum_load!;
      yield {
        at,
        message: `The driver of ${words} sees ${valueText(worst.value)}; the least is ${node.text}.`,
        related: [{ at: node, message: 'The controller states the least load.' }],
      };
    }
  },
});

export const driverOvercurrent: Check = engineCheck({
  id: 'driver-overcurrent',
  severity: 'error',
  title: 'The load draws more than its driver carries',
  page: {
    catches: 'A load whose current at the highest supply is over the `maximum_current` of its driver.',
    why: 'An overloaded driver heats up until it fails or shuts itself off, which stops an injector or a coil in flight.',
    example:
      'outputs:\n  caution_light: { drives: light, pin: C13, resistance: 12 ohm }   # 1.25 A on a driver for 0.5 A',
    remedy: 'Use a load that draws less, a stronger driver, or a relay.',
    basis: 'Ohm’s law at the highest supply of the harness; the limit that the controller file states.',
  },
  *find(subject) {
    const high = drivenPins(subject, driverCurrent).filter(
      ({ pin, value }) => pin.maximum_current && passes(value.canonical, pin.maximum_current.canonical),
    );
    const stated = ({ current, resistance }: Output) => current ?? resistance;
    for (const { at, worst, words } of byPlace(subject, high, stated)) {
      const { node } = worst.pin.maximum_current!;
      yield {
        at,
        message: `The driver of ${words} has to carry ${valueText(worst.value)}; it is made for ${node.text}: ${worst.value.substituted}.`,
        related: [{ at: node, message: 'The controller states the most current.' }],
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
  title: 'More current than the generator gives',
  page: {
    catches:
      'Loads that together draw more than the generator gives steadily, or leave less than the reserve; an error where they pass it. The currents stated for the supply wires count too, where they are more.',
    why: 'A generator that cannot carry the engine drains the battery, and the engine stops when it is empty.',
    example: 'harness:\n  supply: { generator_current: 12 A }   # injectors, coils and pump take 17 A',
    remedy:
      'Fit a stronger generator or shed loads. State the currents of loads that this file does not know.',
    basis:
      'Sum of the currents. The reserve of 20 % follows the rule that continuous load stay within 80 % of the generator: FAA AC 43.13-1B, chapter 11, section 3 (from memory).',
  },
  settings: {
    reserve: {
      kind: 'ratio',
      value: '20 %',
      meaning: 'What the loads must leave of the generator’s current.',
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
      ? 'the battery makes up the rest until it is empty'
      : `that leaves ${percentBeside(left, reserve, 2)} and ${percent(reserve)} in reserve is usual`;
    yield {
      at: generator.node,
      severity: over ? 'error' : 'warning',
      message: `${what} ${valueText(more)} and the generator gives ${generator.node.text}: ${rest}.`,
      related:
        more === stated
          ? supplyWireCurrents(configuration).map(({ node }) => ({ at: node, message: 'A supply wire.' }))
          : budgetParts(subject),
    };
  },
});
