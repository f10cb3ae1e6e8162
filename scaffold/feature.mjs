import { camel, named, sentence, withEntry, withImport } from './text.mjs';

/** A feature of the language server, with its test. */
export function feature([given]) {
  const name = named(given, /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/, '`call-hierarchy`');
  return {
    files: {
      [`server/features/${name}.ts`]: definition(name),
      [`tests/features/${name}.test.ts`]: test(name),
    },
    changes: {
      'server/features/registry.ts': (text) =>
        withEntry(
          withImport(text, `import { ${camel(name)} } from './${name}.ts';`),
          'export const features',
          '];',
          camel(name),
        ),
    },
    next: `Fill in every TODO, then run:
  npx vitest run tests/features tests/unfinished.test.ts`,
  };
}

const definition = (name) => `import type { Analysis } from '../../shared/analysis.ts';
import type { Feature } from './feature.ts';

export const ${camel(name)}: Feature = {
  // TODO the capability that editors look for: { hoverProvider: true }
  capabilities: {},
  listen: () => {
    // TODO listen: (connection, { from }) => { connection.onHover(from(${camel(name)}At)); }
  },
};

/** TODO what it returns, also for half-typed text; null if there is nothing to show. */
export function ${camel(name)}At({ file }: Analysis): string | null {
  return file.text === '' ? null : 'TODO';
}
`;

const test = (name) => `import { expect, test } from 'vitest';
import { ${camel(name)}At } from '../../server/features/${name}.ts';
import { analysed, OVERLAY } from './marked.ts';

test('${sentence(name)}: TODO what an editor shows', () => {
  const analysis = analysed(\`\${OVERLAY}engine:\\n  bore: 86 mm\\n\`);
  expect(${camel(name)}At(analysis)).toEqual('TODO: the answer');
});

test('${sentence(name)}: TODO what it returns for half-typed text', () => {
  expect(${camel(name)}At(analysed('engine:\\n  bo'))).toEqual('TODO: the answer');
});
`;
