import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Analysis, analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { allValues } from '../../shared/derived/registry.ts';
import { COMPLETE_SAMPLES, typeSample } from '../support/typed.ts';

const FOLDER = new URL('../fixtures/', import.meta.url);
const read = (name: string) => readFileSync(new URL(name, FOLDER), 'utf8');
const PATH = '/installation/complete.engine.yaml';
const COMPLETE = read('complete.engine.yaml');
const CONTROLLER = read('complete.controller.yaml');

function project(text: string) {
  return createProject((path) =>
    path === PATH ? text : path.endsWith('complete.controller.yaml') ? CONTROLLER : undefined,
  );
}

/** Everything in an analysis that a reader can see, as plain data. */
function seen(analysis: Analysis) {
  return {
    findings: analysis.findings,
    accepted: analysis.accepted,
    values:
      analysis.derivation &&
      allValues(analysis.derivation).map(({ id, at, canonical, substituted }) => ({
        id,
        at,
        canonical,
        substituted,
      })),
  };
}

const analyseText = (text: string): Analysis => analyse(project(text), PATH)!;

describe('a file that is being typed', () => {
  // 509 is a prime, so prefixes end in all kinds of text. `npm run test:large` analyses many more.
  test.each(COMPLETE_SAMPLES)('prefixes of samples/%s are analysed, as somebody types it', (name) => {
    typeSample(name, 509);
  });

  test('a half-typed bracket spoils its own section only', () => {
    const broken = COMPLETE.replace('firing_order: [1, 4, 2, 3]', 'firing_order: [1, 4,');
    expect(broken).not.toBe(COMPLETE);
    const values = allValues(analyseText(broken).derivation!);
    expect(values.find((value) => value.id === 'ambient_pressure')).toBeDefined();
    expect(values.find((value) => value.id === 'injector_flow_at_rail_pressure')).toBeDefined();
  });

  test('a text read in pieces is analysed as the same text read whole', () => {
    // A line of three dashes is not a key, so the text below it is not split.
    const mark = '---\n';
    const whole = analyseText(mark + COMPLETE);
    expect(whole.file.chunks.size).toBe(1);
    const shifted = (place: { start: number; end: number }) => [
      place.start - mark.length,
      place.end - mark.length,
    ];
    const inPieces = analyseText(COMPLETE);
    expect(whole.findings.map((one) => [one.rule, one.message, ...shifted(one)])).toEqual(
      inPieces.findings.map((one) => [one.rule, one.message, one.start, one.end]),
    );
    expect(seen(whole).values).toEqual(seen(inPieces).values);
  });

  test('editing step by step gives what reading afresh gives', () => {
    const lines = COMPLETE.split('\n').length;
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            line: fc.nat(lines - 1),
            column: fc.nat(60),
            remove: fc.nat(6),
            insert: fc.constantFrom(
              '',
              '0',
              '9',
              ' ',
              '\n',
              '  ',
              ':',
              '[',
              ']',
              '{',
              '}',
              '#',
              '"',
              "'",
              '&a',
              '*a',
              '- ',
              '\t',
              'é',
              '\ud800',
            ),
          }),
          { minLength: 1, maxLength: 8 },
        ),
        (edits) => {
          const live = project(COMPLETE);
          let last = analyse(live, PATH);
          let text = COMPLETE;
          for (const { line, column, remove, insert } of edits) {
            const rows = text.split('\n');
            const row = rows[line % rows.length]!;
            const at = Math.min(column, row.length);
            rows[line % rows.length] = row.slice(0, at) + insert + row.slice(at + remove);
            text = rows.join('\n');
            live.rewrite(PATH, [{ text }]);
            last = analyse(live, PATH, last);
          }
          expect(seen(last!)).toEqual(seen(analyseText(text)));
        },
      ),
      { numRuns: 25 },
    );
  });
});
