// Runs the editor suite in a desktop build of VS Code, which @vscode/test-electron downloads (about 300 MB) into
// .editor-cache/ the first time. It saves no screenshots. VSCODE_VERSION selects the version.
import { spawnSync } from 'node:child_process';
import {
  downloadAndUnzipVSCode,
  resolveCliPathFromVSCodeExecutablePath,
  runTests,
} from '@vscode/test-electron';
import { bundleSuite } from './bundle-suite.mjs';
import { packagedExtension, project } from './paths.mjs';

const cachePath = project('.editor-cache/desktop');
const profile = [`--extensions-dir=${cachePath}/extensions`, `--user-data-dir=${cachePath}/user-data`];

console.log('Getting a desktop build of VS Code from its maker (about 300 MB) unless it is there already.');
try {
  const version = process.env.VSCODE_VERSION ?? 'stable';
  const vscodeExecutablePath = await downloadAndUnzipVSCode({ version, cachePath });
  const install = spawnSync(
    resolveCliPathFromVSCodeExecutablePath(vscodeExecutablePath),
    [...profile, '--install-extension', packagedExtension(), '--force'],
    { stdio: 'inherit', shell: process.platform === 'win32' },
  );
  if (install.status !== 0) throw new Error('the packaged extension could not be installed');
  const { extension, suite, workspace } = await bundleSuite(project('tests/editor/suite'), [
    project('tests/editor/workspace'),
    project('samples'),
  ]);
  await runTests({
    vscodeExecutablePath,
    extensionDevelopmentPath: extension,
    extensionTestsPath: suite,
    launchArgs: [workspace, ...profile, '--disable-workspace-trust', '--skip-welcome'],
  });
} catch (error) {
  console.error(`The desktop run did not succeed: ${error.message}`);
  process.exit(1);
}
