import type { Installation } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import type { Node } from '../source/tree.ts';

/** The node of what fails, or of the innermost section that is written; undefined if none is. */
export function nodeOfFault({ configuration, controller }: Installation, of: string): Node | undefined {
  const isController = of.startsWith('controller.') && controller;
  const steps = (isController ? of.slice('controller.'.length) : of).split('.');
  let at: object = isController ? controller : configuration;
  let found: Node | undefined;
  for (const step of steps) {
    const next: unknown = Object.hasOwn(at, step) ? at[step as keyof typeof at] : undefined;
    if (typeof next !== 'object' || next === null) break;
    at = next;
    found = nodeOf(next);
  }
  return found;
}
