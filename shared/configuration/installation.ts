import type { ControllerConfiguration, EngineConfiguration } from '../../generated/configuration.ts';
import { bareObject } from '../bare-object.ts';
import { internList, memo } from '../memo.ts';
import type { SourceFile } from '../source/source-file.ts';
import { isWithin, type MappingNode, type Node, nodeAtPath, type ScalarNode } from '../source/tree.ts';
import { type Binding, bind } from './bind.ts';
import type { BindingFault } from './binding-fault.ts';
import { fileKind, type Project, resolvePath } from './project.ts';
import { type Reading, type ReadingTree, readingsThat } from './readings.ts';
import { removalsOf, removedPath, withoutRemoved } from './removal.ts';
import { controllerShape, engineShape } from './schemas.ts';
import { trackedSections } from './sections.ts';
import { childShape } from './shape.ts';
import { onStandby } from './standby.ts';
import { type StructureFault, validate } from './validate.ts';
import { nodesOf, rememberNodes, type TextValue } from './values.ts';

/** The engine at one position of the map set selector; without a map set, the file as written. */
export interface Engine {
  readonly mapSet: string | undefined;
  readonly configuration: EngineConfiguration;
}

/**
 * One engine for each different version of a section. A check that reads only this section need not run again for map
 * sets that do not change it.
 */
export function differingIn(engines: readonly Engine[], section: keyof EngineConfiguration): Engine[] {
  const firstWith = new Map<unknown, Engine>();
  for (const engine of engines) {
    const own = engine.configuration[section];
    if (!firstWith.has(own)) firstWith.set(own, engine);
  }
  return [...firstWith.values()];
}

/** A file that another file names and that cannot be used. */
export interface LinkFault {
  readonly rule: 'overlay-file-missing' | 'overlay-cycle' | 'controller-file-missing' | 'run-engine-missing';
  readonly node: ScalarNode;
  /** The path that was looked for, or the paths of the cycle. */
  readonly paths: readonly string[];
  /** Why it was not looked for, as a clause after `but`. */
  readonly refusal?: string | undefined;
}

/** An engine file with its base files and its controller file, bound together. */
export interface Installation {
  readonly file: SourceFile;
  /** The engine file, its base files (nearest first) and the controller files. */
  readonly files: readonly SourceFile[];
  readonly configuration: EngineConfiguration;
  /** The engine without a map set, then with each map set. */
  readonly engines: readonly Engine[];
  /** The engines that can run: one for each selector position or, without map sets, the file as written. */
  readonly selectable: readonly Engine[];
  readonly controller: ControllerConfiguration | undefined;
  /** The installation as the standby controller runs it; undefined if there is none. */
  readonly standby: Installation | undefined;
  readonly binding: Binding;
  readonly structure: readonly StructureFault[];
  readonly links: readonly LinkFault[];
}

/**
 * Binds an engine file with its base files, map sets and controller file. Never throws; faults are listed in the
 * result.
 */
export function readInstallation(project: Project, file: SourceFile): Installation {
  const links: LinkFault[] = [];
  const chain = overlayChain(project, file, links);
  const layers = withoutRemoved(chain.map((source) => source.root).reverse());
  const bound = bind(engineShape, layers);
  const configuration = bound.value as EngineConfiguration;
  const readings: (Reading | ReadingTree)[] = [bound.readings];
  const faults = [...bound.faults];
  const engines: Engine[] = [{ mapSet: undefined, configuration: trackedSections(configuration) }];
  for (const { name, changes, removed } of mapSetLayers(configuration)) {
    const isOther = changes.length > 0 || removed.length > 0;
    const set = isOther
      ? bindChanges(configuration, withoutRemoved(layers, removed), { changes, removed })
      : undefined;
    engines.push({
      mapSet: name,
      configuration: set ? trackedSections(set.configuration) : engines[0]!.configuration,
    });
    if (!set) continue;
    const isChange = (node: Node) => changes.some((change) => isWithin(node, change));
    readings.push(...set.readings);
    for (const fault of set.faults) if (fault.type === 'quantity' && isChange(fault.node)) faults.push(fault);
  }
  const controllerFile = controllerOf(project, configuration.controller, links);
  const standbyFile = controllerOf(project, configuration.standby?.controller, links);
  const held = configuration.standby && standbyLayers(configuration.standby);
  const changed = held && bindChanges(configuration, layers, held);
  if (changed) {
    readings.push(...changed.readings);
    const isChange = (node: Node) => held.changes.some((change) => isWithin(node, change));
    for (const fault of changed.faults)
      if (fault.type === 'quantity' && isChange(fault.node)) faults.push(fault);
  }
  const installation = {
    file,
    files: filesWith(chain, controllerFile, standbyFile),
    configuration: engines[0]!.configuration,
    engines,
    selectable: engines.length > 1 ? engines.slice(1) : engines,
    controller: controllerIn(controllerFile),
    binding: { readings: { items: readings }, faults },
    structure: validate('engine', file.root),
    links,
  };
  const standby = changed && standbyOf(installation, changed.configuration, controllerIn(standbyFile));
  return { ...installation, standby };
}

const controllerIn = (file: SourceFile | undefined): ControllerConfiguration | undefined =>
  file && (bind(controllerShape, [file.root]).value as ControllerConfiguration);

/** Both controllers may be of one kind. */
const filesWith = (
  chain: readonly SourceFile[],
  ...controllers: (SourceFile | undefined)[]
): SourceFile[] => [...new Set([...chain, ...controllers.filter((file) => file !== undefined)])];

/** The standby controller holds one engine, whatever map set an operating point names. */
function standbyOf(
  first: Omit<Installation, 'standby'>,
  held: EngineConfiguration,
  controller: ControllerConfiguration | undefined,
): Installation {
  const configuration = trackedSections(onStandby(held, held.standby!));
  const engines = first.engines.map(({ mapSet }) => ({ mapSet, configuration }));
  const nothing = { readings: { items: [] }, faults: [] };
  return {
    ...first,
    ...{ configuration, engines, selectable: engines.slice(0, 1), controller, standby: undefined },
    ...{ binding: nothing, structure: [], links: [] },
  };
}

function standbyLayers(standby: object): Pick<MapSetLayers, 'changes' | 'removed'> {
  const changes = nodesOf(standby)
    .map((layer) => layer.get('apply'))
    .filter((change) => change?.type === 'mapping');
  return { changes, removed: [] };
}

interface ChangedSections {
  readonly configuration: EngineConfiguration;
  readonly readings: readonly (Reading | ReadingTree)[];
  readonly faults: readonly BindingFault[];
}

/** Binds the sections that a map set changes; the other sections are those of the engine without a map set. */
function bindChanges(
  base: EngineConfiguration,
  layers: readonly MappingNode[],
  { changes, removed }: Pick<MapSetLayers, 'changes' | 'removed'>,
): ChangedSections {
  const all = [...layers, ...changes];
  const names = new Set([
    ...changes.flatMap(({ entries }) => entries.map(({ key }) => key.text)),
    ...removed.flatMap((path) => removedPath(path)[0] ?? []),
  ]);
  const bound = Object.assign(bareObject(), base);
  const readings: (Reading | ReadingTree)[] = [];
  const faults: BindingFault[] = [];
  for (const name of names) {
    const shape = childShape(engineShape, name);
    if (!shape) continue;
    const nodes = all.map((layer) => layer.get(name)).filter((node) => node !== undefined);
    const changed = bind(shape, nodes);
    if (changed.value === undefined) delete bound[name];
    else bound[name] = changed.value;
    for (const tree of changed.readings.items) readings.push(changesIn(tree, internList(changes)));
    for (const fault of changed.faults) faults.push(fault);
  }
  return { configuration: rememberNodes(bound, all), readings, faults };
}

/** The readings of a section that are written in the map set itself. */
const changesIn = memo(
  (item: Reading | ReadingTree, changes: readonly MappingNode[]): Reading | ReadingTree => {
    if (!('items' in item)) return item;
    return readingsThat(item, ({ node }) => changes.some((change) => isWithin(node, change)));
  },
);

/** A controller file by itself. */
export interface ControllerReading {
  readonly file: SourceFile;
  readonly configuration: ControllerConfiguration;
  readonly binding: Binding;
  readonly structure: readonly StructureFault[];
}

export function readController(file: SourceFile): ControllerReading {
  const bound = bind(controllerShape, [file.root]);
  return {
    file,
    configuration: bound.value as ControllerConfiguration,
    binding: bound,
    structure: validate('controller', file.root),
  };
}

/** The file and its base files, nearest first. */
function overlayChain(project: Project, file: SourceFile, links: LinkFault[]): SourceFile[] {
  const chain = [file];
  for (let at = file; ; ) {
    const reference = at.root.get('based_on');
    if (reference?.type !== 'scalar' || typeof reference.value !== 'string') return chain;
    const path = resolvePath(at.path, reference.text);
    const usable = fileKind(path) === 'engine' && !chain.some((link) => link.path === path);
    const base = usable ? project.source(path) : undefined;
    if (!base) {
      const cycle = chain.map((link) => link.path);
      const rule = cycle.includes(path) ? 'overlay-cycle' : 'overlay-file-missing';
      const paths = rule === 'overlay-cycle' ? [...cycle, path] : [path];
      links.push({ rule, node: reference, paths, refusal: project.refusal(path) });
      return chain;
    }
    chain.push(base);
    at = base;
  }
}

/** An engine file, its base files (nearest first) and its controller files, without binding them. */
export function filesOfInstallation(project: Project, file: SourceFile): SourceFile[] {
  const chain = overlayChain(project, file, []);
  const controllers = [['controller'], ['standby', 'controller']].map((path) => {
    const reference = chain.map(({ root }) => nodeAtPath(root, path)).find((node) => node?.type === 'scalar');
    return controllerOf(project, reference && { node: reference, text: reference.text }, []);
  });
  return filesWith(chain, ...controllers);
}

function controllerOf(
  project: Project,
  reference: Pick<TextValue, 'node' | 'text'> | undefined,
  links: LinkFault[],
): SourceFile | undefined {
  if (!reference) return undefined;
  const path = resolvePath(reference.node.chunk.file, reference.text);
  const file = fileKind(path) === 'controller' ? project.source(path) : undefined;
  if (!file) {
    const refusal = project.refusal(path);
    links.push({ rule: 'controller-file-missing', node: reference.node, paths: [path], refusal });
  }
  return file;
}

interface MapSetLayers {
  readonly name: string;
  /** The mappings that override values of the engine. */
  readonly changes: readonly MappingNode[];
  /** The key paths that the set removes from the engine. */
  readonly removed: readonly ScalarNode[];
}

function mapSetLayers(configuration: EngineConfiguration): MapSetLayers[] {
  return Object.entries(configuration.map_sets?.sets ?? {}).map(([name, set]) => {
    const layers = set ? nodesOf(set) : [];
    const changes = layers.map((layer) => layer.get('apply')).filter((change) => change?.type === 'mapping');
    return { name, changes, removed: layers.flatMap(removalsOf) };
  });
}
