import type { Installation } from '../../../shared/configuration/installation.ts';
import { pinUses, rolesAt } from '../../../shared/configuration/pins.ts';
import { type PathStep, pathOf, pathText } from '../../../shared/source/tree.ts';

/** A name to complete, and the detail shown beside it. */
export interface Name {
  readonly name: string;
  readonly detail?: string | undefined;
}

/**
 * The pins with a role that fits the place: pins made for it first, pins in use last, with their users. All pins if the
 * file does not yet say what is connected.
 */
export function pinNames({ configuration, controller }: Installation, path: readonly PathStep[]): Name[] {
  const roles = rolesAt(configuration, path);
  const others = pinUses(configuration).filter(({ pin }) => pathText(pathOf(pin.node)) !== pathText(path));
  const pins = Object.entries(controller?.pins ?? {}).flatMap(([name, { role }]) => {
    if (roles && !(role && roles.includes(role.text))) return [];
    const users = others.filter(({ pin }) => pin.text === name).map(({ label }) => label);
    const words = [role?.text ?? '', users.length > 0 ? `used by ${users.join(', ')}` : ''].filter(Boolean);
    const detail = words.length > 0 ? words.join(' · ') : undefined;
    return [{ name, detail, isUsed: users.length > 0, rank: role ? (roles?.indexOf(role.text) ?? 0) : 0 }];
  });
  return pins.sort((a, b) => Number(a.isUsed) - Number(b.isUsed) || a.rank - b.rank);
}
