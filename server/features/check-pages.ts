import { checkPage } from '../../shared/checks/page.ts';
import { checkNamed } from '../../shared/checks/registry.ts';
import { answerCustom, type Feature } from './feature.ts';

export const checkPages: Feature = {
  capabilities: {},
  listen: (connection, { alone }) => {
    answerCustom(connection, 'enginewright/checkPage', alone(checkPageOf, null));
  },
};

export function checkPageOf({ check: id }: { readonly check: string }): string | null {
  const check = checkNamed(id);
  // The client of a worker has the pages itself (see esbuild.mjs).
  return check?.page ? checkPage(check) : null;
}
