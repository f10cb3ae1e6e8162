import type { Installation } from '../configuration/installation.ts';
import { pinOfEnd, standbyPinOfEnd } from '../configuration/terminals.ts';
import { memo } from '../memo.ts';

/** What an end of a circuit can be to the others of its net. */
export type EndClass =
  | 'aircraft'
  | 'battery'
  | 'device'
  | 'position'
  | 'signal-pin'
  | 'power-pin'
  | 'part'
  | 'splice';

type Counts = Readonly<Partial<Record<EndClass, number>>>;

/** The classes of single ends, and how many of each a net contains. */
export interface Classes {
  of(end: string): EndClass;
  in(net: readonly string[]): Counts;
}

export const classesOf = memo((installation: Installation): Classes => {
  const of = (end: string) => classOf(installation, end);
  const inNet = memo((net: readonly string[]): Counts => {
    const counts: Partial<Record<EndClass, number>> = {};
    for (const end of net) counts[of(end)] = (counts[of(end)] ?? 0) + 1;
    return counts;
  });
  return { of, in: inNet };
});

function classOf({ configuration, controller, standby }: Installation, end: string): EndClass {
  if (end === 'supply' || end === 'ground') return 'aircraft';
  const [first, second] = [pinOfEnd(end), standbyPinOfEnd(end)];
  if (first !== undefined || second !== undefined) {
    const pin = first === undefined ? standby?.controller?.pins?.[second!] : controller?.pins?.[first];
    const role = pin?.role?.text;
    return role === 'supply' || role === 'ground' ? 'power-pin' : 'signal-pin';
  }
  const [section, owner = ''] = end.split('.');
  switch (section) {
    case 'devices':
      return configuration.devices?.[owner]?.kind?.text === 'other' ? 'battery' : 'device';
    case 'splices':
      return 'splice';
    case 'sensors':
    case 'inputs':
    case 'outputs':
      return 'part';
    default:
      return 'position';
  }
}

/**
 * The classes of which an end needs one other in its net. Current comes from the aircraft, or else from a device that may be a
 * battery; only without either does a part work with any connection. A signal reaches a part from any pin for signals, and a pin for
 * signals from anything but another pin. Empty if the end has no such connection even without a fault.
 */
export function neededBy(own: EndClass, counts: Counts): readonly EndClass[] {
  if (own === 'signal-pin')
    return present(['aircraft', 'battery', 'device', 'position', 'part'], own, counts);
  const sources: (readonly EndClass[])[] = [['aircraft'], ['battery'], ['device', 'position']];
  const group = sources.map((one) => present(one, own, counts)).find((one) => one.length > 0);
  if (own === 'power-pin') return group ?? [];
  const pins = present(['signal-pin'], own, counts);
  const found = [...(group ?? []), ...pins];
  return found.length > 0 ? found : present(['power-pin'], own, counts);
}

const present = (classes: readonly EndClass[], own: EndClass, counts: Counts): EndClass[] =>
  classes.filter((one) => hasAny(counts, [one], own));

/** Whether a net contains, besides an end of the class `own`, one of these classes. */
export const hasAny = (counts: Counts, classes: readonly EndClass[], own: EndClass): boolean =>
  classes.some((one) => (counts[one] ?? 0) > (one === own ? 1 : 0));
