import { camel, named, sentence, withEntry, withImport } from './text.mjs';

const REGISTRY = 'shared/derived/registry.ts';

/** A derived value in a file of its own, with its test. */
export function value([name, section], read) {
  const id = named(name, /^[a-z][a-z0-9]*(_[a-z0-9]+)*$/, '`oil_flow`');
  const sections = Object.keys(JSON.parse(read('schemas/engine.schema.json')).properties);
  if (section !== undefined && !sections.includes(section))
    throw new Error(`Unknown section \`${section}\`; use one of ${sections.join(', ')}.`);
  const file = id.replaceAll('_', '-');

  const listed = `${camel(id)}.${camel(id)}`;
  const withValue = (text) => {
    const imported = withImport(text, `import * as ${camel(id)} from './${file}.ts';`);
    return section === undefined
      ? withEntry(imported, 'export const pointValues', '];', listed)
      : withEntry(imported, 'const bySection', '];', `['${section}', [${listed}]]`);
  };

  return {
    files: {
      [`shared/derived/${file}.ts`]: section === undefined ? pointValue(id) : fileValue(id, section),
      [`tests/derived/${file}.test.ts`]: section === undefined ? pointTest(id, file) : fileTest(id, file),
    },
    changes: { [REGISTRY]: withValue },
    next: `Fill in every TODO. Put the formula into shared/physics and a published value for it into tests/reference.
To show it beside the text, add its hint to server/features/hint-texts.ts. Then run:
  npx vitest run tests/derived tests/physics tests/reference tests/unfinished.test.ts`,
  };
}

const pointValue = (id) => `import type { PointValue } from './operating-point.ts';

export const ${camel(id)}: PointValue = {
  id: '${id}',
  label: '${sentence(id)}',
  // TODO \`apply\` a formula of shared/physics to operands: conditions, configured values, other derived
  // values.
  derive: () => undefined,
};
`;

const fileValue = (id, section) => `import type { FileValue } from './derivation.ts';

export const ${camel(id)}: FileValue = {
  id: '${id}',
  label: '${sentence(id)}',
  // TODO \`apply\` a formula of shared/physics to operands, and place the result at a node of \`${section}\`:
  // \`derivedValue\`.
  derive: () => [],
};
`;

const pointTest = (id, file) => `import { expect, test } from 'vitest';
import { ${camel(id)} } from '../../shared/derived/${file}.ts';
import { analyseCase } from '../support/fixture.ts';

const BASED = 'based_on: ./complete.engine.yaml\\n';

test('${id} equals an independent calculation', () => {
  const { derivation } = analyseCase(new Map([['case.engine.yaml', BASED]]));
  const value = derivation!.points[0]!.get(${camel(id)});
  expect(value?.reported).toEqual({ value: 'TODO the number, calculated elsewhere', unit: 'TODO its unit' });
});
`;

const fileTest = (id, file) => `import { expect, test } from 'vitest';
import { ${camel(id)} } from '../../shared/derived/${file}.ts';
import { analyseCase } from '../support/fixture.ts';

const BASED = 'based_on: ./complete.engine.yaml\\n';

test('${id} equals an independent calculation', () => {
  const { derivation } = analyseCase(new Map([['case.engine.yaml', BASED]]));
  const values = derivation!.get(${camel(id)}).map(({ reported, at }) => [at, reported]);
  expect(values).toEqual([['TODO where', { value: 'TODO the number', unit: 'TODO its unit' }]]);
});
`;
