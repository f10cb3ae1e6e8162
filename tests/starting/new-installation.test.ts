import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Analysis, analyse } from '../../shared/analysis.ts';
import { PLACEHOLDER } from '../../shared/configuration/bind.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { nodeAtPath, plainValue } from '../../shared/source/tree.ts';
import type { Answers } from '../../shared/starting/answers.ts';
import { findingAboutAnswer } from '../../shared/starting/finding-about.ts';
import { newInstallation } from '../../shared/starting/new-installation.ts';
import { completeController } from '../support/command-line.ts';

const known: Answers = {
  title: 'Dunlin: "two" #1',
  cylinders: '3',
  bore: '82 mm',
  stroke: '3.2 in',
  boosted: true,
  controller: './complete.controller.yaml',
};

function analysed(text: string): Analysis {
  const files = new Map([
    ['/place/new.engine.yaml', text],
    ['/place/complete.controller.yaml', completeController],
  ]);
  return analyse(
    createProject((path) => files.get(path)),
    '/place/new.engine.yaml',
  )!;
}

const valueAt = ({ file }: Analysis, ...path: string[]): unknown => {
  const node = nodeAtPath(file.root, path);
  return node && plainValue(node);
};

/** The lines that contain a placeholder, from 0, without their comments. */
function openLines(text: string): number[] {
  return text.split('\n').flatMap((line, number) => {
    const code = line.replace(/^\s*#.*/, '');
    return code.includes(PLACEHOLDER) || /: \[\]|breakpoints: \[\]/.test(code) ? [number] : [];
  });
}

describe('a new installation', () => {
  test.each([
    ['of which all is known', known],
    ['of which nothing is known', {}],
    ['without boost', { ...known, boosted: false }],
  ])('%s says of everything that is open that it is, and of nothing else', (_, answers) => {
    const analysis = analysed(newInstallation(answers));
    const spoken = analysis.findings.map(({ start }) => analysis.file.lines.position(start).line);
    const { text } = analysis.file;
    const open = openLines(text);
    // A table without breakpoints has no values either; only its breakpoints have a finding.
    const needed = open.filter((line) => !/^\s*values: \[\]/.test(text.split('\n')[line]!));
    expect(needed.filter((line) => !spoken.includes(line))).toEqual([]);
    const errors = analysis.findings.filter(({ severity }) => severity === 'error');
    const others = errors.filter(({ start }) => !open.includes(analysis.file.lines.position(start).line));
    expect(others.map(({ message }) => message)).toEqual([]);
  });

  test('holds what was answered, as it was written', () => {
    const analysis = analysed(newInstallation(known));
    expect(valueAt(analysis, 'title')).toBe(known.title);
    expect(valueAt(analysis, 'engine', 'cylinders')).toBe(3);
    expect(valueAt(analysis, 'engine', 'stroke')).toBe('3.2 in');
    expect(valueAt(analysis, 'controller')).toBe(known.controller);
    expect(Object.keys(valueAt(analysis, 'outputs') as object)).toEqual([
      ...['injector_1', 'injector_2', 'injector_3'],
      ...['ignition_1', 'ignition_2', 'ignition_3'],
    ]);
  });

  test('has boost where it is turbocharged; else its cruise has to state a manifold pressure', () => {
    const boosted = analysed(newInstallation({ boosted: true }));
    expect(valueAt(boosted, 'boost')).toBeDefined();
    expect(valueAt(boosted, 'operating_points', 'cruise', 'manifold_pressure')).toBeUndefined();
    const aspirated = analysed(newInstallation({ boosted: false }));
    expect(valueAt(aspirated, 'boost')).toBeUndefined();
    expect(valueAt(aspirated, 'operating_points', 'cruise', 'manifold_pressure')).toBe('… kPa abs');
  });

  test('explains every key above it, in lines that fit a page', () => {
    const lines = newInstallation(known).split('\n');
    expect(lines.filter((line) => line.length > 90)).toEqual([]);
    const bore = lines.indexOf('  bore: 82 mm');
    expect(lines.slice(bore - 2, bore)).toEqual([
      '  # Cylinder bore. Together with the stroke it sets the displacement; it also sets the',
      '  # knock frequency. Usual: 35..165 mm.',
    ]);
  });

  test('is a file with this very title, whatever is typed', () => {
    const typed = fc.oneof(
      fc.string({ unit: 'grapheme' }),
      fc.constantFrom('true', '12', '- x', '&a', '{', 'a: b #c', '…'),
    );
    fc.assert(
      fc.property(typed, (title) => {
        const analysis = analysed(newInstallation({ ...known, title }));
        const kept = title.replaceAll(/\s+/g, ' ').trim() || PLACEHOLDER;
        expect(valueAt(analysis, 'title')).toBe(kept);
        expect(valueAt(analysis, 'engine', 'bore')).toBe('82 mm');
      }),
      { numRuns: 60 },
    );
  });
});

describe('an answer', () => {
  test.each([
    ['bore', '79 mm'],
    ['bore', '3.11 in'],
    ['cylinders', '4'],
    ['title', '912'],
  ] as const)('%s %s is taken', (question, answer) => {
    expect(findingAboutAnswer(question, answer)).toBeUndefined();
  });

  test('a stroke that looks like a slip is warned of', () => {
    expect(findingAboutAnswer('stroke', '900 mm')).toMatchObject({
      severity: 'warning',
      message: expect.stringMatching(/usual range of 35..170 mm/),
    });
  });

  test.each([
    ['bore', '79', /without a unit/],
    ['bore', '79 bar', /unit of pressure/],
    ['stroke', '-90 mm', /outside the physical range/],
    ['cylinders', '0', /the minimum is 1/],
    ['cylinders', '4.5', /whole number/],
    ['cylinders', 'many', /whole number/],
    ['stroke', '{ a: b }', /must be a length/],
  ] as const)('%s %s meets the objection of the checks', (question, answer, message) => {
    expect(findingAboutAnswer(question, answer)).toMatchObject({
      severity: 'error',
      message: expect.stringMatching(message),
    });
  });

  test('that is merely unusual is only remarked on', () => {
    expect(findingAboutAnswer('bore', '200 mm')?.severity).not.toBe('error');
  });
});
