import { camel, named, withEntry, withImport } from './text.mjs';

/**
 * A check in a file of its own beside those of its family, and a fixture with a case in which it fires and
 * one in which not.
 */
export function check([name, family], read) {
  const id = named(name, /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/, '`oil-filter-clogged`');
  const registry = read('shared/checks/registry.ts');
  const families = Array.from(registry.matchAll(/from '\.\/(.+)\.ts'/g), ([, file]) => file).filter(isFamily);
  if (!families.includes(family)) throw new Error(`Name its family too: ${families.join(', ')}.`);
  const [path, file] = [`shared/checks/${family}.ts`, `${family}-${id}`];

  function isFamily(one) {
    return /^\s+checks: \[/m.test(read(`shared/checks/${one}.ts`));
  }

  /** Most families list files of checks, some list checks. */
  function withCheck(text) {
    const listsFiles = /^\s+checks: \[[^\]]*\]\.flatMap/m.test(text);
    const imported = listsFiles ? `* as ${camel(id)}` : `{ ${camel(id)} }`;
    return withEntry(
      withImport(text, `import ${imported} from './${file}.ts';`),
      'checks: [',
      ']',
      camel(id),
    );
  }

  return {
    files: {
      [`shared/checks/${file}.ts`]: definition(id),
      [`tests/fixtures/checks/${id}.yaml`]: fixture(id),
    },
    changes: { [path]: withCheck },
    next: `Write what is marked TODO, then:
  npm run fixtures:update ${id}   writes into the fixture what the check says; read it
  npm run docs                    remakes docs/checks.md
  npx vitest run tests/checks tests/unfinished.test.ts`,
  };
}

const definition = (id) => `import { type Check, engineCheck } from './check.ts';

export const ${camel(id)}: Check = engineCheck({
  id: '${id}',
  severity: 'warning',
  title: 'TODO the fault in three to six words',
  page: {
    catches: 'TODO what the check finds.',
    why: 'TODO why that matters to the engine, or to somebody who reads the file.',
    example: '# TODO lines of YAML in which it fires',
    remedy: 'TODO what to do about it.',
    basis: 'TODO the published source, or: Common practice, no source.',
  },
  // TODO compare configured and derived values, and do no physics here: *find({ installation, derivation }) {
  // yield { at: the node to underline, message: a sentence with the numbers in it } }
  find: () => [],
});
`;

const fixture = (id) => `#== TODO an installation in which it fires
# TODO change a value so that ${id} fires.
based_on: ./complete.engine.yaml

#== TODO one that is nearly the same, in which it stays silent
# TODO change the same value so little that it does not fire.
based_on: ./complete.engine.yaml
`;
