import { memo } from '../memo.ts';
import { measuredQuantity } from '../quantity/index.ts';
import type { SourceFile } from '../source/source-file.ts';
import { type Chunk, type PathStep, type ScalarNode, type Span, spanInScalar } from '../source/tree.ts';
import { fileKind } from './project.ts';
import { engineShape, rootShape } from './schemas.ts';
import { childShape, type Shape } from './shape.ts';
import { type Visitor, visitChunk } from './visit.ts';

/** A place where something is named or referred to. */
export interface Name {
  /** The kind of thing: `sensor`, `pin`, `map set`, `quantity`, … */
  readonly kind: string;
  readonly text: string;
  /** The message of a signal: signals of different messages are different, even if they have the same name. */
  readonly scope: string | undefined;
  readonly declares: boolean;
  readonly node: ScalarNode;
  /** The name itself, which may be one step of a longer path. */
  readonly span: Span;
}

/** Every name in a file, in the order of the text. The schemas define which places are names. */
export const namesIn: (file: SourceFile) => readonly Name[] = memo((file) =>
  [...file.chunks.keys()].flatMap((chunk) => namesInChunk(chunk)),
);

/** The names at an offset, a declaration first. */
export function namesAt(file: SourceFile, offset: number): Name[] {
  const here: Name[] = [];
  for (const [chunk, start] of file.chunks) {
    if (start > offset || start + chunk.text.length < offset) continue;
    const isHere = ({ span }: Name) => start + span.start <= offset && offset <= start + span.end;
    here.push(...namesInChunk(chunk).filter(isHere));
  }
  return here.sort((a, b) => Number(b.declares) - Number(a.declares));
}

/** The names in a file that refer to the same thing as a given name, in the order of the text. */
export function namesLike(file: SourceFile, wanted: Name): Name[] {
  return (byThing(file).get(thingOf(wanted)) ?? []).filter((name) => isSameThing(name, wanted));
}

const byThing = memo((file: SourceFile) => {
  const names = new Map<string, Name[]>();
  for (const name of namesIn(file)) {
    const key = thingOf(name);
    const same = names.get(key);
    if (same) same.push(name);
    else names.set(key, [name]);
  }
  return names;
});

/**
 * A key that is equal for names of the same thing. It is also equal for some others: quantities that differ only in
 * their index.
 */
export function thingOf({ kind, scope, text }: Name): string {
  const name = (kind === 'quantity' && measuredQuantity(text)?.entry.name) || text;
  return [kind, scope ?? '', name].join('\n');
}

/** Whether two names refer to the same thing, if their files belong to one installation. */
export function isSameThing(a: Name, b: Name): boolean {
  if (a.kind !== b.kind || a.scope !== b.scope) return false;
  return a.kind === 'quantity' ? isSameQuantity(a.text, b.text) : a.text === b.text;
}

/** Whether two quantities are the same. One without an index matches each that has one. */
export function isSameQuantity(a: string, b: string): boolean {
  const [one, other] = [measuredQuantity(a), measuredQuantity(b)];
  if (!one || !other || one.entry !== other.entry) return a === b;
  return one.index === other.index || one.index === undefined || other.index === undefined;
}

/** Unchanged chunks survive an edit, so only changed ones are read again. */
export const namesInChunk = memo((chunk: Chunk): readonly Name[] => {
  const collector = new Collector();
  const kind = fileKind(chunk.file);
  if (kind) visitChunk(chunk, rootShape(kind), collector);
  return collector.names;
});

/** What the second step of an end of a circuit names, by the first. */
const OWNERS: Readonly<Record<string, string>> = {
  controller: 'pin',
  sensors: 'sensor',
  inputs: 'input',
  outputs: 'output',
  devices: 'device',
  splices: 'splice',
};

/** The kinds of things that keys refer to with their whole text. */
const NAMED_BY_KEY: ReadonlySet<string> = new Set(['quantity', 'sensor', 'output']);

class Collector implements Visitor {
  readonly names: Name[] = [];

  value(node: ScalarNode, shape: Shape | undefined, path: readonly PathStep[]): void {
    const kind = shape?.declares ?? shape?.names;
    if (kind === 'terminal' || kind === 'status source') this.#terminal(node, path);
    else if (kind !== undefined && kind !== 'state')
      this.#add(node, kind, shape?.declares !== undefined, path);
  }

  key(key: ScalarNode, around: Shape | undefined, path: readonly PathStep[]): void {
    if (!around || around.properties.has(key.text)) return;
    const { declares, keyNames } = around;
    if (declares !== undefined) this.#add(key, declares, true, path);
    if (keyNames !== undefined && NAMED_BY_KEY.has(keyNames)) this.#add(key, keyNames, false, path);
    if (keyNames === 'path') this.#stepsOf(key);
  }

  /** The name in an end of a circuit or the source of a status: `A7` of `controller.A7`, `crank` of `sensors.crank.signal`. */
  #terminal(node: ScalarNode, path: readonly PathStep[]): void {
    const [section = '', name = ''] = node.text.split('.');
    const kind = OWNERS[section];
    const start = section.length + 1;
    const span = spanInScalar(node, start, start + name.length);
    if (kind !== undefined && span !== node) this.#add(node, kind, false, path, span, name);
  }

  /** The names in a path to a key of an engine file, such as `protection.overspeed.hysteresis`. */
  #stepsOf(key: ScalarNode): void {
    const [prefix] = /^(?:map_set\[\d+\]\.)?/.exec(key.text)!;
    const steps = key.text.slice(prefix.length).split('.');
    let shape: Shape | undefined = engineShape;
    let start = prefix.length;
    steps.forEach((step, i) => {
      const declared = shape?.properties.has(step) ? undefined : shape?.declares;
      const span = spanInScalar(key, start, start + step.length);
      if (declared !== undefined && span !== key) {
        this.#add(key, declared, false, steps.slice(0, i + 1), span, step);
      }
      shape = childShape(shape, step);
      start += step.length + 1;
    });
  }

  #add(
    node: ScalarNode,
    kind: string,
    declares: boolean,
    path: readonly PathStep[],
    span: Span = spanInScalar(node, 0, node.text.length),
    text = node.text,
  ): void {
    if (text === '') return;
    // … messages, MESSAGE, signals, SIGNAL
    const scope = kind === 'signal' ? String(path.at(-3)) : undefined;
    this.names.push({ kind, text, scope, declares, node, span });
  }
}
