import { checkPage } from '../../shared/checks/page.ts';
import { checkNamed } from '../../shared/checks/registry.ts';
import type { Feature } from './feature.ts';

/** Request: the id of a check. Answer: its page as Markdown, null for an id that no check has. */
export const CHECK_PAGE = 'enginewright/checkPage';

export const checkPages: Feature = {
  capabilities: {},
  listen: (connection, { alone }) => {
    connection.onRequest(CHECK_PAGE, alone(checkPageOf, null));
  },
};

export function checkPageOf({ check: id }: { readonly check: string }): string | null {
  const check = checkNamed(id);
  return check ? checkPage(check) : null;
}
