import { describe, expect, test } from 'vitest';
import { fixtureAsItIs } from '../support/fixture-as-it-is.ts';

const TWICE = 'engine: { bore: 84 mm, stroke: 55 mm, bore: 84 mm }';
const MARKER = '#                                     ^^^^ error duplicate-key: Duplicate key `bore`…';
const FIX = '#-- safe fix: Remove this `bore`, which has the same value';
const RIGHT = `# About the fixture.

#== twice the same
based_on: ./complete.engine.yaml
${TWICE}
${MARKER}
${FIX}
based_on: ./complete.engine.yaml
engine: { bore: 84 mm, stroke: 55 mm }

#== once
based_on: ./complete.engine.yaml
#-- no fix
`;

const asItIs = (text: string) => fixtureAsItIs(text, 'duplicate-key');

test('a fixture that is right stays as it is written', () => {
  expect(asItIs(RIGHT)).toBe(RIGHT);
});

describe('put right is', () => {
  test.each([
    ['a missing marker', `${MARKER}\n`, '', `${MARKER.replace('…', '; only the first one is used.')}\n`],
    ['a marker of another column', MARKER, MARKER.replace('# ', '#  ')],
    ['a marker of another width', MARKER, MARKER.replace('^^^^', '^^^')],
    ['another severity', MARKER, MARKER.replace('error', 'warning')],
    [
      'a message that does not fit',
      MARKER,
      MARKER.replace('Duplicate', 'Double'),
      MARKER.replace('…', '; only the first one is used.'),
    ],
    ['a marker of nothing', MARKER, `${MARKER}\n#         ^^^^ error duplicate-key: Duplicate…`],
    ['a marker under another line', `${TWICE}\n${MARKER}`, `${MARKER}\n${TWICE}`],
    ['the text after a fix', 'mm, stroke: 55 mm }\n', 'mm, stroke: 56 mm }\n'],
    ['the safety of a fix', FIX, FIX.replace('safe ', '')],
    ['a fix that is gone', FIX, '#-- fix: Remove all'],
    [
      'that there is no fix',
      `${FIX}\nbased_on: ./complete.engine.yaml\nengine: { bore: 84 mm, stroke: 55 mm }`,
      '#-- no fix',
    ],
  ])('%s', (_, right, wrong, made = right) => {
    expect(RIGHT.split(right)).toHaveLength(2);
    expect(asItIs(RIGHT.replace(right, wrong))).toBe(RIGHT.replace(right, made));
  });
});
