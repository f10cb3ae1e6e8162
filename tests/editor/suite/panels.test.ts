import { suite, test } from 'mocha';
import { auditPanels } from './audit-panels.ts';
import { driven } from './driver.ts';

// The other themes: tests/editor/themes. Not the first suite: nothing may be activated before that of the activation.
suite('Accessibility', () => {
  test('axe finds nothing in any panel', async function () {
    if (!driven) return this.skip(); // The script runs axe.
    await auditPanels('Default Dark Modern');
  });
});
