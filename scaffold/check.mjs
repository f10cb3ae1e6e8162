import { camel, named, withEntry, withImport } from './text.mjs';

/**
 * A check in a file of its own beside those of its family, and a fixture with a case that it reports and a case that it
 * does not.
 */
export function check([name, family], read) {
  const id = named(name, /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/, '`oil-filter-clogged`');
  const registry = read('shared/checks/registry.ts');
  const families = Array.from(registry.matchAll(/from '\.\/(.+)\.ts'/g), ([, file]) => file).filter(isFamily);
  if (!families.includes(family))
    throw new Error(`Missing or unknown family; use one of ${families.join(', ')}.`);
  const [path, file] = [`shared/checks/${family}.ts`, `${family}-${id}`];

  function isFamily(one) {
    return /^\s+checks: \[/m.test(read(`shared/checks/${one}.ts`));
  }

  /** Most families list files of checks, some list single checks. */
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
    next: `Fill in every TODO, then run:
  npm run fixtures:update ${id}   writes the findings into the fixture; read the diff
  npm run docs                    updates docs/checks.md
  npx vitest run tests/checks tests/unfinished.test.ts`,
  };
}

const definition = (id) => `import { type Check, engineCheck } from './check.ts';

export const ${camel(id)}: Check = engineCheck({
  id: '${id}',
  severity: 'warning',
  title: 'TODO the fault in three to six words',
  page: {
    catches: 'TODO what the check reports.',
    why: 'TODO the consequence for the engine, or for somebody who reads the file.',
    example: '# TODO lines of YAML that it reports',
    remedy: 'TODO what to do, in the imperative.',
    basis: 'TODO the published source, or: Common practice, no source.',
  },
  // TODO compare configured and derived values, without physics here: *find({ installation, derivation }) {
  // yield { at: the node to underline, message: a sentence with the numbers in it } }
  find: () => [],
});
`;

const fixture = (id) => `#== TODO an installation that it reports
# TODO change a value so that ${id} reports it.
based_on: ./complete.engine.yaml

#== TODO an almost equal installation that it does not report
# TODO change the same value so little that it is not reported.
based_on: ./complete.engine.yaml
`;
