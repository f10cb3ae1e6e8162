import type { Analysis } from '../../shared/analysis.ts';
import { FOLLOWS } from '../../shared/configuration/follows.ts';
import { type Mention, mentionsOf, type Together } from '../../shared/configuration/mentions.ts';
import { type Name, namesIn } from '../../shared/configuration/names.ts';
import { nodeOf } from '../../shared/configuration/values.ts';
import { keyOf, type SourceFile } from '../../shared/source/source-file.ts';
import { nodeAtPath, pathOf, type Span } from '../../shared/source/tree.ts';
import { namedPath } from './spot.ts';

/** A place that makes use of something, and what a reader calls that place. */
export interface Use {
  readonly label: string;
  readonly file: SourceFile;
  readonly span: Span;
}

/**
 * What uses the thing that a name is given to: what refers to it by name; of a sensor also what is about the quantity
 * that it measures; of a light the limits that it shows.
 */
export function usesOf(declared: Name, analysis: Analysis, installations: readonly Together[]): Use[] {
  const { file } = analysis;
  const given = [declared, ...(declared.kind === 'sensor' ? quantitiesGiven(declared, file) : [])];
  const mentions = given
    .flatMap((name) => mentionsOf(name, file, installations))
    .filter(({ name }) => !name.declares);
  return [...mentions.map(useOf), ...(declared.kind === 'output' ? limitsShown(declared, analysis) : [])];
}

/** The quantity that a sensor measures, and those that the controller works out from it. */
function quantitiesGiven(sensor: Name, file: SourceFile): Name[] {
  const measures = nodeAtPath(file.root, [...namedPath(sensor.node), 'measures']);
  const measured = namesIn(file).find(({ node, kind }) => node === measures && kind === 'quantity');
  if (!measured) return [];
  const following = Object.entries(FOLLOWS).filter(([, from]) => from.includes(measured.text));
  return [measured, ...following.map(([text]) => ({ ...measured, text }))];
}

function useOf({ file, name }: Mention): Use {
  return { label: ownerOf(name), file, span: name.span };
}

/** Steps that say nothing of what a place belongs to. */
const PARTS = new Set(['x', 'y', 'pins']);

/** `oil_pressure_low` of `protection.oil_pressure_low.watches`; of a signal, its message. */
function ownerOf({ node, kind }: Name): string {
  const path = namedPath(node);
  if (node.step === undefined) return String(kind === 'quantity' ? path.at(-3) : path.at(-1));
  const steps = path.slice(0, -1).filter((step) => typeof step === 'string' && !PARTS.has(step));
  return String(steps.at(-1));
}

/** The limits whose caution or warning a light shows. */
function limitsShown(light: Name, { file, files, installation }: Analysis): Use[] {
  const { outputs, protection } = installation?.configuration ?? {};
  const meaning = outputs?.[light.text]?.meaning?.text;
  if (meaning !== 'caution' && meaning !== 'warning') return [];
  return Object.entries(protection ?? {}).flatMap(([label, limit]) => {
    const isShown = limit.action?.items.some(({ text }) => text === 'light');
    if (!isShown || !(limit.below?.[meaning] ?? limit.above?.[meaning])) return [];
    const node = nodeOf(limit);
    const where = files.find(({ path }) => path === node.chunk.file) ?? file;
    return [{ label, file: where, span: keyOf(node) ?? nodeAtPath(where.root, pathOf(node)) ?? node }];
  });
}
