import type { Installation } from '../../../shared/configuration/installation.ts';
import { pinUses, rolesAt } from '../../../shared/configuration/pins.ts';
import { type PathStep, pathOf, pathText } from '../../../shared/source/tree.ts';

/** Something that has a name, and what is said of it beside the name. */
export interface Name {
  readonly name: string;
  readonly detail: string;
}

/**
 * The pins of a role that fits the place: those made for it first, those that something else uses last, with what that
 * is. All pins where nothing says yet what is to be connected.
 */
export function pinNames({ configuration, controller }: Installation, path: readonly PathStep[]): Name[] {
  const roles = rolesAt(configuration, path);
  const others = pinUses(configuration).filter(({ pin }) => pathText(pathOf(pin.node)) !== pathText(path));
  const pins = Object.entries(controller?.pins ?? {}).flatMap(([name, { role }]) => {
    if (roles && !(role && roles.includes(role.text))) return [];
    const users = others.filter(({ pin }) => pin.text === name).map(({ label }) => label);
    const detail = `${role?.text ?? ''}${users.length > 0 ? ` · used by ${users.join(', ')}` : ''}`;
    return [{ name, detail, isUsed: users.length > 0, rank: role ? (roles?.indexOf(role.text) ?? 0) : 0 }];
  });
  return pins.sort((a, b) => Number(a.isUsed) - Number(b.isUsed) || a.rank - b.rank);
}
