import type { Analysis } from '../../shared/analysis.ts';
import { FOLLOWS } from '../../shared/configuration/follows.ts';
import type { Mention } from '../../shared/configuration/mentions.ts';
import { type Name, namesInChunk, thingOf } from '../../shared/configuration/names.ts';
import { nodeOf } from '../../shared/configuration/values.ts';
import { sensorsMeasuring } from '../../shared/derived/sensor-reading.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';
import { mappingOfKey, type Node, nodeAtPath } from '../../shared/source/tree.ts';
import { usesOfOutput } from './output-uses.ts';
import { namedPath } from './spot.ts';
import { type Use, useAt } from './use.ts';

/** Every place in the workspace that refers to the same thing as a name in the file. */
export type Mentions = (name: Name) => readonly Mention[];

/**
 * The uses of a named thing, what acts before what only names it (a lens shows the first few): for a sensor the loop that
 * follows it, for an output what acts through it; then references to its name, and to the quantity that a sensor measures.
 */
export function usesOf(declared: Name, analysis: Analysis, mentions: Mentions): Use[] {
  const given = [declared, ...(declared.kind === 'sensor' ? quantitiesGiven(declared, analysis.file) : [])];
  const uses = given.flatMap((name) => mentions(name)).filter(({ name }) => !name.declares);
  return [
    ...(declared.kind === 'sensor' ? loopsFollowing(declared.text, analysis) : []),
    ...(declared.kind === 'output' ? usesOfOutput(declared.text, analysis) : []),
    ...uses.map(useOf),
  ];
}

/** Makes a predicate that is true for names of things that are used. */
export function usedIn(analysis: Analysis, mentions: Mentions): (declared: Name) => boolean {
  const { file } = analysis;
  const followed = new Set(exhaustLoopOf(analysis)?.sensors);
  const mentioned = new Map<string, boolean>();
  const isMentioned = (name: Name): boolean => {
    const thing = `${thingOf(name)}\n${name.text}`;
    const known = mentioned.get(thing) ?? mentions(name).some((one) => !one.name.declares);
    mentioned.set(thing, known);
    return known;
  };
  return (declared) => {
    if (isMentioned(declared)) return true;
    if (declared.kind === 'output') return usesOfOutput(declared.text, analysis).length > 0;
    if (declared.kind !== 'sensor') return false;
    return followed.has(declared.text) || quantitiesGiven(declared, file).some(isMentioned);
  };
}

/** The exhaust temperature loop names no sensor: it uses every sensor that measures its quantity. */
function loopsFollowing(sensor: string, analysis: Analysis): Use[] {
  const loop = exhaustLoopOf(analysis);
  return loop?.sensors.includes(sensor) ? [useAt(EXHAUST_LOOP, loop.node, analysis)] : [];
}

const EXHAUST_LOOP = 'exhaust_gas_temperature';

/** The exhaust temperature loop and the names of its sensors; undefined without a loop. */
export function exhaustLoopOf({
  installation,
}: Analysis): { readonly node: Node; readonly sensors: readonly string[] } | undefined {
  const configuration = installation?.configuration;
  const loop = configuration?.closed_loop?.[EXHAUST_LOOP];
  if (!loop) return undefined;
  const sensors = sensorsMeasuring(configuration, EXHAUST_LOOP).map(([name]) => name);
  return { node: nodeOf(loop), sensors };
}

/** The quantity that a sensor measures, and the quantities that the controller calculates from it. */
function quantitiesGiven(sensor: Name, file: SourceFile): Name[] {
  const measures = nodeAtPath(file.root, [...namedPath(sensor.node), 'measures']);
  const measured =
    measures &&
    namesInChunk(measures.chunk).find(({ node, kind }) => node === measures && kind === 'quantity');
  if (!measured) return [];
  const following = Object.entries(FOLLOWS).filter(([, from]) => from.includes(measured.text));
  return [measured, ...following.map(([text]) => ({ ...measured, text }))];
}

function useOf({ file, name }: Mention): Use {
  return { label: ownerOf(name), file, span: name.span };
}

/** Path steps that do not identify the owner of a place. */
const PARTS = new Set(['x', 'y', 'pins']);

/**
 * `oil_pressure_low` of `protection.oil_pressure_low.watches`; of a signal, its message; `standby` where the standby
 * controller has the thing on a pin of its own, whose key is the name of the thing itself.
 */
function ownerOf({ node, kind }: Name): string {
  const path = namedPath(node);
  if (path[0] === 'standby') return 'standby';
  if (mappingOfKey(node)) return String(kind === 'quantity' ? path.at(-3) : path.at(-1));
  const steps = path.slice(0, -1).filter((step) => typeof step === 'string' && !PARTS.has(step));
  return String(steps.at(-1));
}
