// Makes the README's pictures in docs/pictures: Enginewright in a real VS Code.
import { cpSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { output, project } from './paths.mjs';
import { runSuite } from './run-suite.mjs';

const fresh = output('readme-pictures');
const kept = project('docs/pictures');
/** A page of text should not have to load more. */
const largest = 320_000;

const { passed, failed } = await runSuite({
  tests: project('tests/editor/pictures'),
  workspace: [project('samples/dotterel')],
  pictures: fresh,
  window: { viewport: { width: 1000, height: 600 }, deviceScaleFactor: 1.35 },
  settings: {
    'editor.fontSize': 12,
    'editor.hover.above': false,
    'editor.lineHeight': 14,
    'editor.lightbulb.enabled': 'off',
    'editor.occurrencesHighlight': 'off',
    'editor.renderLineHighlight': 'none',
    'editor.scrollbar.horizontal': 'hidden',
    'editor.stickyScroll.enabled': false,
    'problems.decorations.enabled': false,
    'window.menuBarVisibility': 'hidden',
    'workbench.editor.editorActionsLocation': 'hidden',
    'workbench.statusBar.visible': false,
  },
}).catch((error) => {
  console.error(error.message);
  return { passed: 0, failed: 1 };
});
if (failed > 0 || passed === 0) process.exit(1);

const names = readdirSync(fresh);
const heavy = names.filter((name) => statSync(join(fresh, name)).size > largest);
if (heavy.length > 0) {
  console.error(`Larger than ${largest / 1000} kB: ${heavy.join(', ')}.`);
  process.exit(1);
}
cpSync(fresh, kept, { recursive: true });
console.log(`Made ${names.join(', ')} in docs/pictures.`);
process.exit(0);
