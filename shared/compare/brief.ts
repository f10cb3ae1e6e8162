import { listed } from '../checks/words.ts';
import { counted } from '../counted.ts';
import { groupedBy } from '../grouped-by.ts';
import { changeArea } from './areas.ts';
import { isWorseBeyond } from './consequence-order.ts';
import type { Sections } from './sections.ts';

/** What is listed of a comparison, and in words what is only counted. */
export interface Listing extends Pick<Sections, 'near' | 'conditional' | 'others' | 'nearBounds' | 'areas'> {
  /** Empty if nothing is left out. */
  readonly left: string;
}

/** How many values and bounds with a reduced margin, values if a sensor was not replaced, other values, and changes are listed. */
const MOST = { near: 5, conditional: 3, bounds: 3, others: 3, changes: 12 };

/** Everything but bounds that only gained margin. */
export const wholeOf = ({
  near,
  conditional,
  others,
  nearBounds,
  otherBounds,
  areas,
}: Sections): Listing => ({
  ...{ near, conditional, others, nearBounds, areas },
  left: otherBounds.length > 0 ? `${counted(otherBounds.length, 'other bound')} moved` : '',
});

/**
 * What matters most, about a screenful: every value and bound that is newly or further beyond its limit, then those nearest to
 * their limits, and the values that moved most.
 */
export function briefOf({ near, conditional, others, nearBounds, otherBounds, areas }: Sections): Listing {
  const changes = [...areas.values()].flat();
  const listing = {
    near: first(near, MOST.near, isWorseBeyond),
    conditional: conditional.slice(0, MOST.conditional),
    nearBounds: first(nearBounds, MOST.bounds, isWorseBeyond),
    others: others.slice(0, MOST.others),
    areas: groupedBy(changes.slice(0, MOST.changes), changeArea),
  };
  const count = (left: number, what: string, end = '') => (left > 0 ? [counted(left, what) + end] : []);
  const left = listed([
    ...count(changes.length - MOST.changes, 'change'),
    ...count(near.length - listing.near.length, 'value', ' with a reduced margin'),
    ...count(conditional.length - MOST.conditional, 'value', ' if a sensor was not replaced'),
    ...count(others.length - MOST.others, 'other changed value'),
    ...count(nearBounds.length - listing.nearBounds.length, 'bound', ' with a reduced margin'),
    ...count(otherBounds.length, 'other bound', ' moved'),
  ]);
  return { ...listing, left };
}

/** The first members, and every one that must be listed. */
function first<Member>(
  members: readonly Member[],
  most: number,
  isRequired: (one: Member) => boolean,
): Member[] {
  const free = members.filter((one) => !isRequired(one)).slice(0, most);
  return members.filter((one) => isRequired(one) || free.includes(one));
}
