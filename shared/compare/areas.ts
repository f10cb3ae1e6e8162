import { sectionAt } from '../configuration/applied.ts';
import { maximumOf } from '../extremes.ts';
import type { Change } from './change.ts';
import type { Item } from './item.ts';

/** Parts of an installation that are reviewed together, the most dangerous first. */
const AREAS: readonly (readonly [title: string, ...sections: string[]])[] = [
  ['Ignition', 'ignition'],
  ['Fuel', 'fuel'],
  ['Boost and intake', 'boost', 'intake'],
  ['Engine', 'engine'],
  ['Gearbox and propeller', 'gearbox', 'propeller'],
  ['Protection', 'protection'],
  ['Closed loops', 'closed_loop'],
  ['Map sets', 'map_sets'],
  ['Standby controller', 'standby'],
  ['Sensors', 'sensors'],
  ['Wiring', 'inputs', 'outputs', 'harness', 'controller', 'pins', 'connectors', 'supply'],
  ['Bus', 'bus'],
  ['Controller', 'limits', 'storage'],
  ['Operating points', 'operating_points'],
  ['Checks', 'checks'],
];

const OTHER = 'General';

/** The area of a place. A value that a map set overrides has the area of the value in the engine. */
export function areaOf({ path }: Item): string {
  const own = sectionAt(path);
  return AREAS.find(([, ...sections]) => sections.includes(String(own)))?.[0] ?? OTHER;
}

export function changeArea(change: Change): string {
  return areaOf((change.is ?? change.was)!);
}

const ORDER = [...AREAS.map(([title]) => title), OTHER];

/** By area; within an area first additions, removals and renamings, then values by the size of their change. */
export function orderChanges(changes: readonly Change[]): Change[] {
  const keyed = changes.map((change) => ({
    change,
    area: ORDER.indexOf(changeArea(change)),
    size: sizeOf(change),
  }));
  return keyed.sort((a, b) => a.area - b.area || bigger(b.size, a.size)).map(({ change }) => change);
}

/** Infinity − infinity is not a number. */
const bigger = (a: number, b: number): number => (a === b ? 0 : a - b);

/** The size of a change relative to the value; 1 if it is not a number or has no relative change. */
function sizeOf(change: Change): number {
  if (change.type === 'value') return Math.abs(change.step?.ratio ?? 1);
  if (change.type !== 'table') return Number.POSITIVE_INFINITY;
  const { moved, was, is } = change.grid;
  const size = maximumOf(was.map(Math.abs));
  const most = moved.reduce((far, i) => Math.max(far, Math.abs(is[i]! - was[i]!)), 0);
  return most / (size || 1);
}
