import type { EngineConfiguration } from '../../generated/configuration.ts';
import { capital } from '../capital.ts';
import { appliedPath } from '../configuration/applied.ts';
import { pinOfEnd, standbyPinOfEnd } from '../configuration/terminals.ts';
import { nodeOf } from '../configuration/values.ts';
import { circuitsOf, netsOf } from '../derived/circuits.ts';
import { knownQuantities } from '../derived/known-quantities.ts';
import { nearestWord } from '../quantity/index.ts';
import { renameKey } from '../source/edit.ts';
import { keyOf } from '../source/source-file.ts';
import { type Node, pathOf, pathText } from '../source/tree.ts';
import { type Check, engineCheck, type Family, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { nearestName } from './protection-names.ts';
import { tablesOfEngine } from './tables.ts';
import { listed } from './words.ts';

const keyNode = (bound: object): Node => keyOf(nodeOf(bound)) ?? nodeOf(bound);

export const standbyNameUnknown: Check = engineCheck({
  id: 'standby-name-unknown',
  severity: 'error',
  title: 'Unknown name at standby controller',
  page: {
    catches:
      'An output under `drives`, a sensor under `reads` or a `selector` of the standby controller that the file does not have.',
    why: 'The injector that was meant stays without a driver when the first controller is lost.',
    example: 'standby:\n  drives: { injektor_1: B3 }   # the output is injector_1',
    remedy: 'Write a name from `outputs`, `sensors` or `inputs`.',
    basis: 'The meaning of the keys.',
  },
  *find({ installation: { configuration } }) {
    const { standby, outputs, sensors, inputs } = configuration;
    if (!standby) return;
    yield* unknownKeys(standby.drives, outputs ?? {}, 'output');
    yield* unknownKeys(standby.reads, sensors ?? {}, 'sensor');
    const { selector } = standby;
    if (!selector || Object.hasOwn(inputs ?? {}, selector.text)) return;
    yield {
      at: selector.node,
      message: `No input has the name ${quote(selector.text)}.`,
      fixes: nearestName(selector.node, Object.keys(inputs ?? {})),
    };
  },
});

function* unknownKeys(named: object | undefined, known: object, what: string): Iterable<Found> {
  for (const [name, pin] of Object.entries(named ?? {})) {
    if (Object.hasOwn(known, name)) continue;
    const mapping = nodeOf(named!);
    const entry = mapping.type === 'mapping' ? mapping.entry(name) : undefined;
    const nearest = nearestWord(name, Object.keys(known));
    const fixes =
      nearest !== undefined && entry && !Object.hasOwn(named!, nearest)
        ? [
            {
              title: `Rename to ${quote(nearest)}`,
              safety: 'choice' as const,
              edits: [renameKey(entry, nearest)],
            },
          ]
        : [];
    yield { at: entry?.key ?? nodeOf(pin), message: `No ${what} has the name ${quote(name)}.`, fixes };
  }
}

/** The sections from whose tables the controller computes fuel and spark. */
const COMPUTED = ['fuel', 'ignition'] as const;

export const standbyCannotRun: Check = engineCheck({
  id: 'standby-cannot-run',
  severity: 'error',
  title: 'Standby controller cannot run engine',
  page: {
    catches:
      'A standby controller that drives no injector or coil of any cylinder, or does not drive the relay of the fuel pump. One that does not read a quantity over which it holds tables of fuel or spark. A cylinder without fuel or spark is reported by `cylinder-without-injector` and `cylinder-without-ignition`, a missing crank sensor by `crank-sensor-missing`.',
    why: 'The changeover works on the ground, where nobody tries it, and the engine stops in flight although a second controller is on board.',
    example:
      'standby:\n  drives: { injector_1: B3, injector_2: B4, ignition_1: B7, ignition_2: B8 }\n  reads: { crank: A1 }   # and a fuel map over manifold pressure',
    remedy:
      'Wire what is missing to the standby controller, or give it tables over what it reads, under `apply`.',
    basis: 'The tables and outputs of the file.',
  },
  *find({ installation: { configuration, standby: run } }) {
    const { standby, outputs } = configuration;
    if (!standby || !run) return;
    const drives = keyNode(standby.drives ?? standby);
    for (const load of ['injector', 'ignition'] as const) {
      const all = Object.values(outputs ?? {}).filter((one) => one.drives?.text === load);
      const own = Object.values(run.configuration.outputs ?? {}).filter((one) => one.drives?.text === load);
      if (all.length > 0 && own.length === 0)
        yield { at: drives, message: `The standby controller drives no output of the kind ${quote(load)}.` };
    }
    for (const [name, { drives: load }] of Object.entries(outputs ?? {})) {
      const isPump = load?.text === 'relay' && name.includes('fuel_pump');
      if (isPump && !run.configuration.outputs?.[name])
        yield {
          at: drives,
          message: `The standby controller does not drive ${quote(name)}, so the fuel pump stops.`,
        };
    }
    const isKnown = knownQuantities(run.configuration);
    const engine = { mapSet: undefined, configuration: run.configuration };
    const needed = new Map<string, string>();
    for (const { node, x, y } of tablesOfEngine(engine)) {
      const path = pathOf(node);
      const [section] = appliedPath(path) ?? path;
      if (!COMPUTED.some((one) => one === section)) continue;
      for (const axis of [x, y])
        if (axis && !isKnown(axis.quantity) && !needed.has(axis.quantity))
          needed.set(axis.quantity, pathText(appliedPath(path) ?? path));
    }
    for (const [quantity, table] of needed) {
      // Without a charge temperature, tables over it are read at the intake air temperature.
      if (quantity === 'charge_temperature' && isKnown('intake_air_temperature')) continue;
      // `crank-sensor-missing` reports it.
      if (quantity === 'engine_speed') continue;
      yield {
        at: keyNode(standby.reads ?? standby),
        message: `The standby controller reads no ${quote(quantity)}, but ${quote(table)} is a table over it.`,
      };
    }
  },
});

export const standbyCommonCause: Check = engineCheck({
  id: 'standby-common-cause',
  severity: 'warning',
  title: 'One fault stops both controllers',
  page: {
    catches:
      'A crank sensor, a fuse, a supply or a ground on which both controllers depend. Other shared sensors are listed as information.',
    why: 'The standby controller is there for the loss of the first. What takes both at once makes it useless.',
    example: 'standby:\n  reads: { crank: A1, ... }   # and crank has a pin of the first controller too',
    remedy:
      'Give the standby controller its own crank sensor, and its own conductor, fuse and ground from the battery.',
    basis: 'Common practice, no source.',
  },
  *find({ installation }) {
    const { configuration } = installation;
    const { standby, sensors } = configuration;
    if (!standby) return;
    const shared = Object.keys(standby.reads ?? {}).filter((name) => sensors?.[name]?.pin);
    const isCrank = (name: string) => sensors![name]!.measures?.text === 'crank_position';
    for (const name of shared.filter(isCrank)) {
      const own = Object.keys(standby.reads ?? {}).some(
        (one) => !shared.includes(one) && sensors?.[one] && isCrank(one),
      );
      if (own) continue;
      yield {
        at: keyOf(standby.reads![name]!.node) ?? standby.reads![name]!.node,
        message: `Both controllers need ${quote(name)}: without it, neither can time injection and spark.`,
        related: [{ at: sensors![name]!.pin!.node, message: 'The pin at the first controller.' }],
      };
    }
    const others = shared.filter((name) => !isCrank(name));
    if (others.length > 0)
      yield {
        at: keyNode(standby.reads!),
        severity: 'information',
        message: `Both controllers read ${listed(others.map(quote))}; a fault there affects either.`,
      };
    yield* sharedCircuits(configuration, installation.controller, installation.standby?.controller);
  },
});

type Controller = NonNullable<Parameters<typeof rolesOfEnds>[0]>;

/** The conductors that feed, or ground, both controllers. */
function* sharedCircuits(
  configuration: EngineConfiguration,
  first: Controller | undefined,
  second: Controller | undefined,
): Iterable<Found> {
  if (!first || !second) return;
  const circuits = circuitsOf(configuration);
  const nets = netsOf(circuits);
  const told = new Set<readonly string[]>();
  for (const { name, circuit, ends } of circuits) {
    for (const end of ends) {
      const net = nets.with(end.text);
      if (told.has(net)) continue;
      const roles = rolesOfEnds(first, net, pinOfEnd);
      for (const role of rolesOfEnds(second, net, standbyPinOfEnd)) {
        if (!roles.has(role) || told.has(net)) continue;
        told.add(net);
        yield {
          at: keyOf(nodeOf(circuit)) ?? nodeOf(circuit),
          message: `${capital(quote(name))} is part of the ${role} of both controllers: if it opens, both are lost.`,
        };
      }
    }
  }
}

/** Which of supply and ground the pins of a controller among some ends have. */
function rolesOfEnds(
  { pins }: { readonly pins?: { readonly [pin: string]: { readonly role?: { readonly text: string } } } },
  net: readonly string[],
  pinOf: (end: string) => string | undefined,
): ReadonlySet<string> {
  const roles = net.flatMap((end) => pins?.[pinOf(end) ?? '']?.role?.text ?? []);
  return new Set(roles.filter((role) => role === 'supply' || role === 'ground'));
}

export const standby: Family = {
  id: 'standby',
  title: 'Standby controller',
  checks: [standbyNameUnknown, standbyCannotRun, standbyCommonCause],
};
