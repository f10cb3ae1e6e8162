import { appliedPath } from '../configuration/applied.ts';
import { knownQuantities } from '../configuration/known-quantities.ts';
import { pinOfEnd, standbyPinOfEnd } from '../configuration/terminals.ts';
import { nodeOf } from '../configuration/values.ts';
import { lossOfOpen } from '../derived/circuit-faults.ts';
import { circuitsOf, netsOf } from '../derived/circuits.ts';
import { isFuelPump, outputsThatDrive, undrivenWastegate } from '../derived/loads.ts';
import { nearestWord } from '../quantity/index.ts';
import { keyNode } from '../source/source-file.ts';
import { pathOf, pathText } from '../source/tree.ts';
import { type Check, engineCheck, type Family, type Found } from './check.ts';
import { quote, renaming } from './form-words.ts';
import { nearestName } from './protection-names.ts';
import { tablesOfEngine } from './tables.ts';
import { listed } from './words.ts';

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
    const isFree = entry && nearest !== undefined && !Object.hasOwn(named!, nearest);
    const fixes = isFree ? renaming(entry, nearest) : [];
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
      'A standby controller that drives no injector or coil of any cylinder, or does not drive the relay of the fuel pump. One that does not drive the wastegate is a warning. One that does not read a quantity over which it holds tables of fuel or spark. A cylinder without fuel or spark is reported by `cylinder-without-injector` and `cylinder-without-ignition`, a missing crank sensor by `crank-sensor-missing`.',
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
    const drives = keyNode(nodeOf(standby.drives ?? standby));
    for (const load of ['injector', 'ignition'] as const) {
      const all = Object.values(outputs ?? {}).filter((one) => one.drives?.text === load);
      const own = Object.values(run.configuration.outputs ?? {}).filter((one) => one.drives?.text === load);
      if (all.length > 0 && own.length === 0)
        yield { at: drives, message: `The standby controller drives no output of the kind ${quote(load)}.` };
    }
    for (const name of Object.keys(outputs ?? {}))
      if (isFuelPump(configuration, name) && !run.configuration.outputs?.[name])
        yield {
          at: drives,
          message: `The standby controller does not drive ${quote(name)}, so the fuel pump stops.`,
        };
    const wastegate = undrivenWastegate(run.engines.map((engine) => engine.configuration));
    for (const { name } of wastegate ? outputsThatDrive(configuration, wastegate) : [])
      yield {
        at: drives,
        severity: 'warning',
        message: `The standby controller does not drive ${quote(name)}: it stays where it is, and the pressures with this controller are not known.`,
      };
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
        at: keyNode(nodeOf(standby.reads ?? standby)),
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
        at: keyNode(standby.reads![name]!.node),
        message: `Both controllers need ${quote(name)}: without it, neither can time injection and spark.`,
        related: [{ at: sensors![name]!.pin!.node, message: 'The pin at the first controller.' }],
      };
    }
    const others = shared.filter((name) => !isCrank(name));
    if (others.length > 0)
      yield {
        at: keyNode(nodeOf(standby.reads!)),
        severity: 'information',
        message: `Both controllers read ${listed(others.map(quote))}; a fault there affects either.`,
      };
    const circuits = circuitsOf(configuration);
    const nets = netsOf(circuits);
    for (const one of circuits) {
      const touched = one.ends.flatMap(({ text }) => nets.with(text));
      if (!touched.some(pinOfEnd) || !touched.some(standbyPinOfEnd)) continue;
      const lost = lossOfOpen(installation, [one]);
      if (lost.controller && lost.standby)
        yield {
          at: keyNode(nodeOf(one.circuit)),
          message: `Both controllers depend on ${quote(one.name)}: if it opens, both are lost.`,
        };
    }
  },
});

export const standby: Family = {
  id: 'standby',
  title: 'Standby controller',
  checks: [standbyNameUnknown, standbyCannotRun, standbyCommonCause],
};
