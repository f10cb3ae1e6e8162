import { suite, test } from 'mocha';
import { auditPanels } from '../suite/audit-panels.ts';

suite('Themes', () => {
  for (const theme of ['Default Light Modern', 'Default High Contrast', 'Default High Contrast Light'])
    test(`axe finds nothing in any panel in ${theme}`, () => auditPanels(theme));
});
