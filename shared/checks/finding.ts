import { keyNode, keyOf, nodeAtSpan, offsetsOf, type SourceFile } from '../source/source-file.ts';
import { mappingOfKey, type Node, pathOf, pathText, type Span, sourceText } from '../source/tree.ts';
import type { Check, Fix, Found, Related, Severity } from './check.ts';

/** A stretch of a file's text, in UTF-16 units from its start. */
export interface Place {
  readonly file: string;
  readonly start: number;
  readonly end: number;
}

export interface FindingFix {
  readonly title: string;
  readonly safety: Fix['safety'];
  readonly edits: readonly (Place & { readonly text: string })[];
}

/** A finding at one place, ready for every face. */
export interface Finding extends Place {
  readonly rule: string;
  readonly severity: Severity;
  readonly message: string;
  /** Dotted key path of the place. */
  readonly path: string;
  readonly related: readonly (Place & { readonly message: string })[];
  readonly fixes: readonly FindingFix[];
  /** The true place, if the finding is shown in a file that only names the file it is in. */
  readonly writtenAt?: Place;
  /** The same for findings that have one cause, see `folded`. */
  readonly cause?: string;
  /** In a capped list: how many findings, from this place on, this one replaces. */
  readonly leftOut?: number;
}

/** Compares findings by their order in the text. */
export function byPlace(a: Finding, b: Finding): number {
  // No `localeCompare`: loading its collation data would take a twelfth of a cold check's time.
  return a.start - b.start || a.end - b.end || Number(a.rule > b.rule) - Number(a.rule < b.rule);
}

/** Most findings have nothing related, or no fix. */
const NONE: readonly never[] = [];

/** Turns what checks found into findings of one file. */
export class FindingMaker {
  readonly #files: Map<string, SourceFile>;
  /** Many findings may share a fix, which may change every cell of a map. */
  readonly #fixes = new Map<Fix, FindingFix>();

  constructor(
    readonly file: SourceFile,
    files: readonly SourceFile[],
  ) {
    this.#files = new Map(files.map((one) => [one.path, one]));
  }

  /** Where `found` points in the file it was written in. */
  placeOf(at: Node | Span): Place {
    const span = isNode(at) ? underlined(at) : at;
    const file = this.#files.get(span.chunk.file);
    if (!file) throw new Error(`no text for ${span.chunk.file}`);
    return { file: file.path, ...offsetsOf(file, span) };
  }

  /**
   * A finding in another file (a base file, the controller file) is shown at the nearest key of this file that takes part in
   * it or, without one, where this file names that one, because a reader of this file must see it here. The true place comes
   * first among the related ones.
   */
  make(check: Check, found: Found): Finding {
    const place = this.placeOf(found.at);
    const related = found.related?.map((one) => this.#related(one)) ?? NONE;
    const own = place.file === this.file.path;
    const link = own ? undefined : (this.#nearest(found) ?? linkTo(place.file, this.file));
    const { file, start, end } = link ? this.placeOf(link) : place;
    const alone: Finding = {
      file,
      start,
      end,
      rule: check.id,
      severity: found.severity ?? check.severity,
      message: found.message,
      path: link ? pathText(pathOf(link)) : pathAt(found.at),
      related: link ? [{ ...place, message: writtenIn(found.at) }, ...related] : related,
      fixes: found.fixes?.map((fix) => this.#fix(fix)) ?? NONE,
    };
    const finding = found.cause === undefined ? alone : { ...alone, cause: this.#causeKey(found.cause) };
    return link ? { ...finding, writtenAt: place } : finding;
  }

  /** Of the keys of this file that take part in a finding about its base file, the one nearest to the true place. */
  #nearest({ at, related = NONE, follows = NONE }: Found): Node | undefined {
    if (isControllerFile(at.chunk.file)) return undefined;
    const place = pathOf(isNode(at) ? at : nodeAtSpan(at));
    const own = [...related.map((one) => one.at), ...follows].filter(
      (one): one is Node => isNode(one) && one.chunk.file === this.file.path,
    );
    const shared = (node: Node): number => {
      const path = pathOf(node);
      const parting = path.findIndex((step, i) => step !== place[i]);
      return parting < 0 ? path.length : parting;
    };
    return own.reduce<Node | undefined>(
      (best, one) => (best && shared(best) >= shared(one) ? best : one),
      undefined,
    );
  }

  #causeKey(cause: Node | string): string {
    if (typeof cause === 'string') return cause;
    const { file, start, end } = this.placeOf(cause);
    return `${file} ${start} ${end}`;
  }

  #related({ at, message }: Related) {
    return { ...this.placeOf(at), message };
  }

  #fix(fix: Fix): FindingFix {
    const { title, safety, edits } = fix;
    const made = this.#fixes.get(fix) ?? {
      title,
      safety,
      edits: edits.map(({ span, text }) => ({ ...this.placeOf(span), text })),
    };
    this.#fixes.set(fix, made);
    return made;
  }
}

/** Where an engine file names another file, directly or through its base file. */
export function linkTo(path: string, { root }: SourceFile): Node {
  const named = isControllerFile(path) ? 'controller' : 'based_on';
  return root.get(named) ?? root.get('based_on') ?? root;
}

const isControllerFile = (path: string): boolean => path.endsWith('.controller.yaml');

/** `` `fuel.rail.pressure` in the base file. `` */
function writtenIn(at: Node | Span): string {
  const file = isControllerFile(at.chunk.file) ? 'controller' : 'base';
  return `\`${pathAt(at)}\` in the ${file} file.`;
}

function isNode(at: Node | Span): at is Node {
  return 'type' in at;
}

/** A block of several lines is underlined at its key; a value on one line is underlined as a whole. */
export function underlined(node: Node): Span {
  if (node.type === 'scalar') return node.style === 'empty' ? keyNode(node) : node;
  const text = sourceText(node);
  return node.flow && !text.includes('\n') ? node : (keyOf(node) ?? firstLine(node));
}

function firstLine(node: Node): Span {
  const end = node.chunk.text.indexOf('\n', node.start);
  return { chunk: node.chunk, start: node.start, end: end < 0 || end > node.end ? node.end : end };
}

function pathAt(place: Node | Span): string {
  const at = isNode(place) ? place : nodeAtSpan(place);
  const mapping = mappingOfKey(at);
  return pathText(mapping && at.type === 'scalar' ? [...pathOf(mapping), at.text] : pathOf(at));
}

export interface Accepted {
  readonly finding: Finding;
  readonly reason: string;
}

export interface Verdict {
  /** In the order of the text, and all of them: a list for people is `capped`. */
  readonly findings: readonly Finding[];
  /** Findings that the file accepts, with its reasons. */
  readonly accepted: readonly Accepted[];
}
