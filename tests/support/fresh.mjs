// Instances of the program with their own module state, so that none sees what another has cached.
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Script } from 'node:vm';
import { build } from 'esbuild';

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
const require = createRequire(join(root, 'package.json'));

/**
 * Bundles a module, given by its path from the root of the project. Each call of the returned function evaluates the
 * bundle again and returns its exports; only the protocol's library is shared. That takes 2 ms, where a process would
 * take 200.
 */
export async function freshProgram(entry) {
  const { outputFiles } = await build({
    absWorkingDir: root,
    entryPoints: [entry],
    bundle: true,
    write: false,
    platform: 'node',
    format: 'cjs',
    target: 'node20',
    external: ['vscode-languageserver', 'vscode-languageserver/*'],
    logLevel: 'warning',
  });
  const script = new Script(`(function (module, exports, require) {${outputFiles[0].text}\n})`, {
    filename: join(root, `${entry}.cjs`),
  });
  const evaluate = script.runInThisContext();
  return () => {
    const module = { exports: {} };
    evaluate(module, module.exports, require);
    return module.exports;
  };
}
