import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Analysis, analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { sampleNames, sampleText } from '../support/samples.ts';

/** Complete installations only, because overlays contain little text. */
const engines = sampleNames.filter(
  (name) => name.endsWith('.engine.yaml') && !sampleText(name).includes('based_on:'),
);

/** Analyses a sample with a different text. */
function analysed(name: string, text: string): Analysis {
  return analyse(
    createProject((path) => (path === name ? text : sampleText(path))),
    name,
  )!;
}

const told = ({ findings }: Analysis): string[] => findings.map(({ rule, message }) => `${rule}: ${message}`);

/** The findings of an analysis that the unchanged sample does not have. */
function addedIn(name: string, text: string): string[] {
  const own = new Set(told(analysed(name, sampleText(name))));
  return told(analysed(name, text)).filter((one) => !own.has(one));
}

/** The text after applying the first fix of a finding. */
function fixed(name: string, text: string, rule: string, index = 0): string {
  const fix = analysed(name, text).findings.find((one) => one.rule === rule)!.fixes[index]!;
  return [...fix.edits]
    .sort((a, b) => b.start - a.start)
    .reduce((before, { start, end, text: own }) => before.slice(0, start) + own + before.slice(end), text);
}

const tabbed = (text: string): string =>
  text.replaceAll(/^( +)(?=[^\s#])/gm, (spaces) => '\t'.repeat(spaces.length / 2));

/** The text with a merge conflict in some of its lines: first these lines, then other ones. */
function conflicting(text: string, from: number, count: number, others: readonly string[]): string {
  const lines = text.split('\n');
  const own = lines.slice(from, from + count);
  lines.splice(from, own.length, '<<<<<<< HEAD', ...own, '=======', ...others, '>>>>>>> other');
  return lines.join('\n');
}

describe.each(engines)('%s', (name) => {
  const text = sampleText(name);

  test('has one finding more where tabs indent it, and the fix takes them all', () => {
    expect(addedIn(name, tabbed(text))).toEqual([expect.stringMatching(/^tab-indentation: /)]);
    expect(fixed(name, tabbed(text), 'tab-indentation')).toBe(text);
  });

  test('has one finding more where its text is not UTF-8', () => {
    const spoilt = new TextDecoder().decode(Buffer.from(text, 'latin1'));
    expect(spoilt).not.toBe(text);
    expect(addedIn(name, spoilt)).toEqual([expect.stringMatching(/^text-not-utf-8: /)]);
  });
});

describe('wherever in a text it is', () => {
  const [name = ''] = engines.filter((one) => one.startsWith('wheatear'));
  const text = sampleText(name);
  const lines = text.split('\n');
  const stretch = fc
    .tuple(fc.nat(lines.length - 2), fc.integer({ min: 1, max: 30 }))
    .map(([from, count]) => ({ from, count: Math.min(count, lines.length - 1 - from) }));

  test('some lines indented by tabs are one finding', () => {
    fc.assert(
      fc.property(stretch, ({ from, count }) => {
        const some = lines.map((line, i) => (i >= from && i < from + count ? tabbed(line) : line)).join('\n');
        if (some === text) return;
        expect(addedIn(name, some)).toEqual([expect.stringMatching(/^tab-indentation: /)]);
      }),
      { numRuns: 12 },
    );
  });

  test('a merge conflict is one finding, and the first side is read', () => {
    const line = fc.constantFrom('  bore: 1 mm', 'fuel: {', '', '# accept syntax-error', '\tx', '- [1, 2]');
    fc.assert(
      fc.property(stretch, fc.array(line, { maxLength: 4 }), ({ from, count }, others) => {
        const conflict = conflicting(text, from, count, others);
        expect(addedIn(name, conflict)).toEqual([expect.stringMatching(/^merge-conflict: /)]);
        expect(fixed(name, conflict, 'merge-conflict')).toBe(text);
      }),
      { numRuns: 12 },
    );
  });
});

describe('an overlay', () => {
  const base = '/a/base.engine.yaml';
  const overlay = '/a/overlay.engine.yaml';
  const texts = new Map([
    [base, new TextDecoder().decode(Buffer.from('engine: { idle_speed: 20 \u00b0C }\n', 'latin1'))],
    [overlay, 'enginefile: 1\nbased_on: ./base.engine.yaml\n'],
  ]);

  test('says once that its base is not UTF-8, where it names the base', () => {
    const { findings } = analyse(
      createProject((path) => texts.get(path)),
      overlay,
    )!;
    const about = findings.filter(({ writtenAt }) => writtenAt?.file === base);
    expect(about.map(({ rule, path }) => [rule, path])).toEqual([['text-not-utf-8', 'based_on']]);
  });
});
