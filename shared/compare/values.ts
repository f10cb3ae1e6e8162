import type { Analysis } from '../analysis.ts';
import type { EngineSubject } from '../checks/check.ts';
import { sameNumber } from '../configuration/same-value.ts';
import type { Derivation } from '../derived/derivation.ts';
import type { OperatingPoint } from '../derived/operating-point.ts';
import { allOfPoint, fileValues } from '../derived/registry.ts';
import type { DerivedValue } from '../derived/value.ts';
import { type Limit, limitsOf, marginTo } from '../limits/limits.ts';
import { type Node, type PathStep, pathOf, pathText } from '../source/tree.ts';
import type { Step } from './change.ts';
import type { Item, Section } from './item.ts';
import type { LimitMargin } from './limit-margin.ts';
import { longestAbove, type PathMap } from './renames.ts';
import { withReason } from './settled.ts';
import { stepBetween } from './step.ts';

/** A derived value that changed, or whose margin to its limit changed. */
export interface ValueConsequence {
  readonly type: 'value';
  readonly id: string;
  readonly label: string;
  /** Its operating point, by the name in the new file. */
  readonly point: string | undefined;
  /** Dotted key path of its place in the new file. */
  readonly at: string;
  /** Undefined if it cannot be derived. */
  readonly was: DerivedValue | undefined;
  readonly is: DerivedValue | undefined;
  readonly step: Step | undefined;
  /** How many values of this kind changed at this place; this one changed most. */
  readonly moved: number;
  readonly limit: LimitMargin | undefined;
  /** It holds only if a part was not replaced as the file says. */
  readonly isConditional?: true;
}

/** A derived value with its limit. */
interface Held {
  readonly value: DerivedValue;
  readonly point: string | undefined;
  readonly limit: HeldLimit | undefined;
}

interface HeldLimit {
  readonly kind: Limit;
  readonly at: string;
  readonly canonical: number;
  readonly margin: number;
}

/** The values of one kind at one place, for example at every point of a dwell curve. */
type Family = readonly Held[];

/**
 * The derived values that changed, or whose margin changed, at every operating point and for the whole installation.
 */
export function valueConsequences(was: Side, is: Side, mapped: PathMap): ValueConsequence[] {
  const old = familiesOf(was, mapped);
  const now = familiesOf(is, (path) => path);
  const [oldPlaces, newPlaces] = [placesOf(was.items, mapped), placesOf(is.items, (path) => path)];
  return [...new Set([...now.keys(), ...old.keys()])].flatMap((key) => {
    const [before = [], after = []] = [old.get(key), now.get(key)];
    const at = key.slice(key.indexOf(' ') + 1);
    // The values of an added or removed sensor or point belong to the change that adds or removes it.
    const isNew = before.length === 0 && !oldPlaces(at);
    const isGone = after.length === 0 && !newPlaces(at);
    return isNew || isGone ? [] : compared(before, after, at, is.analysis);
  });
}

export interface Side {
  readonly analysis: Analysis;
  readonly items: Section;
}

/** By id and place; the members of a list form one family, as their number may change. */
function familiesOf({ analysis }: Side, mapped: PathMap): Map<string, Held[]> {
  const families = new Map<string, Held[]>();
  const { derivation } = analysis;
  if (!derivation) return families;
  const add = (value: DerivedValue, point?: OperatingPoint) => {
    const key = `${value.id} ${mapped(pathText(listPathOf(value.node)))}`;
    const held = hold(analysis, derivation, value, point);
    const family = families.get(key);
    if (family) family.push(held);
    else families.set(key, [held]);
  };
  for (const definition of fileValues) for (const value of derivation.get(definition)) add(value);
  for (const point of derivation.points) for (const value of allOfPoint(point)) add(value, point);
  return families;
}

/** The path of a node or, for a member of a list, of the list. */
function listPathOf(node: Node): PathStep[] {
  const path = pathOf(node);
  return path.slice(0, path.findLastIndex((step) => typeof step === 'string') + 1);
}

function hold(analysis: Analysis, derivation: Derivation, value: DerivedValue, point?: OperatingPoint): Held {
  const subject = analysis.subject as EngineSubject;
  const configuration = point?.configuration ?? derivation.installation.configuration;
  const limits = limitsOf(value.id).flatMap((kind): HeldLimit[] => {
    const found = kind.find({ subject, configuration, node: value.node, point });
    if (!found) return [];
    const { value: canonical, at } = found;
    return [{ kind, at, canonical, margin: marginTo(kind, canonical, value.canonical) }];
  });
  const [limit] = limits.sort((a, b) => a.margin - b.margin);
  return { value, point: point?.name, limit };
}

/** Whether a path leads to an item, or into the value of one. */
function placesOf(items: Section, mapped: PathMap): (path: string) => boolean {
  const sections = new Set<string>();
  const leaves = new Set<string>();
  const visit = (item: Item) => {
    const path = mapped(pathText(item.path));
    if (item.type === 'leaf') leaves.add(path);
    else {
      sections.add(path);
      item.entries.forEach(visit);
    }
  };
  visit(items);
  const leafAbove = longestAbove(leaves, '.[');
  return (path) => sections.has(path) || leafAbove(path) !== undefined;
}

function compared(before: Family, after: Family, at: string, analysis: Analysis): ValueConsequence[] {
  const pairs =
    before.length === after.length
      ? after.map((is, i) => [before[i], is] as const)
      : [[foremost(before), foremost(after)] as const];
  const moved = pairs.filter(([was, is]) => hasChanged(was, is));
  const most = moved.reduce<(typeof pairs)[number] | undefined>(
    (far, pair) => (far && !tellsMore(pair, far) ? far : pair),
    undefined,
  );
  return most ? [consequence(most[0], most[1], { moved: moved.length, place: at, analysis })] : [];
}

/** The member nearest to its limit or furthest beyond it; the highest of those without a limit. */
function foremost(family: Family): Held | undefined {
  const isBefore = (one: Held, most: Held) =>
    one.limit || most.limit ? marginIn(one) < marginIn(most) : one.value.canonical > most.value.canonical;
  return family.reduce<Held | undefined>(
    (most, one) => (most && !isBefore(one, most) ? most : one),
    undefined,
  );
}

const marginIn = (held: Held | undefined): number => held?.limit?.margin ?? Number.POSITIVE_INFINITY;

function hasChanged(was: Held | undefined, is: Held | undefined): boolean {
  if (!was || !is) return was !== is;
  return !sameNumber(was.value.canonical, is.value.canonical) || !sameLimit(was.limit, is.limit);
}

function sameLimit(was: Held['limit'], is: Held['limit']): boolean {
  return was && is ? sameNumber(was.canonical, is.canonical) : was === is;
}

/**
 * A value that is newly or further beyond its limit comes first, then one that is back within it, then the one that changed
 * most.
 */
function tellsMore(pair: Pair, other: Pair): boolean {
  const [one, two] = [standing(pair), standing(other)];
  if (one !== two) return one > two;
  return one === WORSE ? marginIn(pair[1]) < marginIn(other[1]) : distance(pair) > distance(other);
}

const WORSE = 2;

function standing([was, is]: Pair): number {
  const [before, now] = [marginIn(was), marginIn(is)];
  if (now < 0 && now < before) return WORSE;
  return before < 0 && now >= 0 ? 1 : 0;
}

type Pair = readonly [was: Held | undefined, is: Held | undefined];

function distance([was, is]: Pair): number {
  if (!was || !is) return Number.POSITIVE_INFINITY;
  return Math.abs(is.value.canonical - was.value.canonical);
}

const marginOf = ({ kind, canonical, at }: HeldLimit, was: Held | undefined, is: Held | undefined) => ({
  label: kind.label,
  side: kind.side,
  checks: kind.checks,
  canonical,
  at,
  was: was?.limit?.margin,
  is: is?.limit?.margin,
});

function consequence(
  was: Held | undefined,
  is: Held | undefined,
  { moved, place, analysis }: { moved: number; place: string; analysis: Analysis },
): ValueConsequence {
  const { value, point } = (is ?? was)!;
  const limit = is?.limit ?? was?.limit;
  const at = is ? value.at : place;
  return {
    type: 'value',
    id: value.id,
    label: value.label,
    point,
    at,
    was: was?.value,
    is: is?.value,
    step: was && is ? stepBetween(was.value.canonical, is.value.canonical, is.value.show) : undefined,
    moved,
    limit: limit && withReason(analysis, { ...marginOf(limit, was, is), place: at }),
  };
}
