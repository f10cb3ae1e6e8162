import { describe, expect, test } from 'vitest';
import { boundKey, boundLines, type Proved, verdictCounts } from '../../server/bound-words.ts';
import { editorOf } from '../../server/editor.ts';
import { addedState } from '../../server/features/bound-state.ts';
import { lensesIn } from '../../server/features/code-lenses.ts';
import { hoverAt } from '../../server/features/hover.ts';
import { inlayHintsIn } from '../../server/features/inlay-hints.ts';
import { explanationOf } from '../../server/features/installation-explanation.ts';
import { installationViewOf } from '../../server/features/installation-view.ts';
import { placesOf } from '../../server/features/installation-view-places.ts';
import { NO_PREFERENCE } from '../../server/preferred-units.ts';
import { Workspace } from '../../server/workspace.ts';
import { analyse } from '../../shared/analysis.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { injectorDuty } from '../../shared/derived/fuel.ts';
import { fullProofOf, limitedBounds } from '../../shared/limits/verdict.ts';
import { BRIEF } from '../../shared/proof/proof.ts';
import { valueAtWitness } from '../../shared/proof/witness-point.ts';
import { completeController, completeEngine } from '../support/command-line.ts';
import { projectOf } from '../support/fixture.ts';

const PATH = '/installation/a.engine.yaml';
/** Too small for one corner of the envelope, without a fault. */
const text = completeEngine.replace('static_flow: 340 cc/min', 'static_flow: 225 cc/min');
const analysis = analyse(
  projectOf(
    new Map([
      ['a.engine.yaml', text],
      ['complete.controller.yaml', completeController],
    ]),
  ),
  PATH,
)!;
const derivation = analysis.derivation!;
const bounds = [
  ...limitedBounds(fullProofOf(analysis.subject as EngineSubject, BRIEF), analysis.subject as EngineSubject),
];
const current: Proved = { bounds, isCurrent: true };
const outdated: Proved = { bounds, isCurrent: false };

const editor = editorOf({
  capabilities: { textDocument: { hover: { contentFormat: ['markdown'] } } },
  initializationOptions: { showPlaces: 'show' },
  processId: null,
  rootUri: null,
});

const placeOf = (part: string) => analysis.file.lines.position(text.indexOf(part));
const dutyIn = (mapSet: string, fault?: string) =>
  bounds.find((one) => one.id === 'injector_duty' && one.mapSet === mapSet && one.fault === fault)!;

const NOT_DERIVED = [
  'advance_added_by_fault',
  'advance_beyond_usual',
  'coolant_temperature',
  'engine_speed',
  'lambda_at_high_load',
  'lambda_of_leanest_cylinder',
  'lambda_of_richest_cylinder',
  'throttle_position',
];

test('a witness derives the value that was reached, without a fault and with each', () => {
  expect(bounds.length).toBeGreaterThan(40);
  const unexplained = new Set<string>();
  for (const bound of bounds) {
    const value = valueAtWitness(derivation, bound);
    if (!value) unexplained.add(bound.id);
    else
      expect(Math.abs(value.canonical - bound.reached), boundKey(bound)).toBeLessThan(
        1e-6 * Math.abs(bound.reached) + 1e-9,
      );
  }
  // Conditions of a state are not derived, and some values exist only as bounds.
  expect([...unexplained].sort()).toEqual(NOT_DERIVED);
});

describe('lines', () => {
  test('begin with the broken limits, the furthest beyond first', () => {
    const lines = boundLines(bounds);
    expect(lines[0]!.verdict).toBe('broken');
    const shares = lines.filter(({ verdict }) => verdict === 'broken').map(({ share }) => share!);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
    expect(lines.findLast(({ verdict }) => verdict === 'broken')!.share).toBeLessThan(0);
    expect(lines.length).toBeLessThan(bounds.length);
  });

  test('are counted by verdict', () => {
    expect(verdictCounts([{ verdict: 'holds' }, { verdict: 'open' }, { verdict: 'broken' }])).toBe(
      '1 limit holds everywhere · 1 broken · 1 open',
    );
    expect(verdictCounts([])).toBe('0 limits hold everywhere');
  });
});

describe('hints', () => {
  const hintAt = (part: string, proved?: Proved) => {
    const { line } = placeOf(part);
    const range = { start: { line, character: 0 }, end: { line, character: 0 } };
    return inlayHintsIn(analysis, { range }, editor, proved)
      .flatMap(({ label }) => (typeof label === 'string' ? label : label.map(({ value }) => value).join('')))
      .join();
  };

  test('beside the injectors, the boost target and the advance have the furthest bound without a fault', () => {
    const percent = Math.max(dutyIn('climb').bound, dutyIn('ferry').bound) * 100;
    const hint = /≤ ([\d.]+) % everywhere/.exec(hintAt('static_flow:', current))!;
    expect(Number(hint[1])).toBeGreaterThanOrEqual(percent);
    expect(Number(hint[1])).toBeLessThan(percent + 0.1001);
    expect(hintAt('target:', current)).toMatch(/≤ 14\d kPa abs everywhere/);
    expect(hintAt('advance:', current)).toMatch(/≤ [\d.]+ deg everywhere/);
  });

  test('do not pass old bounds off as current ones', () => {
    expect(hintAt('static_flow:', outdated)).toMatch(/≤ [\d.]+ % before the last edit/);
    expect(hintAt('static_flow:', outdated)).not.toContain('everywhere');
    expect(hintAt('static_flow:')).not.toMatch(/everywhere|before/);
  });
});

describe('the lens', () => {
  const lens = (proved?: Proved) =>
    lensesIn(analysis, editor, new Workspace({ read: () => undefined }), proved)
      .map((one) => ({ line: one.range.start.line, ...one.command() }))
      .find(({ title }) => title.includes('everywhere'));

  test('is at the envelope, and leads to the limits that do not hold', () => {
    const shown = lens(current)!;
    expect(shown).toMatchObject({
      line: placeOf('envelope:').line,
      title: verdictCounts(bounds),
      command: 'show',
    });
    const places = shown.arguments![2] as { range: { start: { line: number } } }[];
    expect(places.map(({ range }) => range.start.line)).toContain(placeOf('maximum_duty').line);
  });

  test('is at the engine if there is no envelope', () => {
    const bare = analyse(projectOf(new Map([['a.engine.yaml', 'engine: { idle_speed: 900 rpm }\n']])), PATH)!;
    const [shown] = lensesIn(bare, editor, new Workspace({ read: () => undefined }), current);
    expect(shown!.range.start.line).toBe(0);
  });

  test('says of old bounds that they are old', () => {
    expect(lens(outdated)!.title).toMatch(/everywhere.* \(before the last edit\)$/);
    expect(lens()).toBeUndefined();
  });
});

describe('the hover', () => {
  const hoverOf = (part: string, proved?: Proved): string => {
    const hover = hoverAt(analysis, { position: placeOf(part) }, NO_PREFERENCE, true, proved);
    return (hover?.contents as { value: string } | undefined)?.value ?? '';
  };

  test.each([
    ['maximum_duty', 'Injector duty, highest'],
    ['minimum_pulse', 'Injector pulse width, lowest'],
    ['overboost_cut', 'Manifold pressure, highest'],
    ['advance_range', 'Ignition advance, highest'],
    ['pump_flow', 'Fuel flow by volume, highest'],
  ])('on %s has its bounds with witness and verdict', (key, label) => {
    const page = hoverOf(key, current);
    expect(page).toMatch(/^\*\*Over all states of the envelope\*\*: \d+ limits? holds? everywhere/m);
    expect(page).toMatch(
      new RegExp(`^\\| ${label} \\|.*[≤≥].*\\*\\*(?:holds|broken|open)\\*\\* \\| .+ \\|$`, 'm'),
    );
    expect(hoverOf(key)).not.toContain('states of the envelope');
    expect(hoverOf(key, outdated)).toContain('before the last edit');
  });

  test('on the envelope has the worst of all', () => {
    const page = hoverOf('envelope:', current);
    expect(page).toContain(verdictCounts(bounds));
    expect(page).toMatch(/^… and \d+ more, with larger margins\./m);
  });

  test('on another key has none', () => {
    expect(hoverOf('resistance', current)).not.toContain('states of the envelope');
  });
});

describe('the panel', () => {
  test('has a row for each bound with a limit, and explains it in its state', () => {
    const view = installationViewOf(analysis, editor, current)!.bounds;
    expect(view).toMatchObject({ status: 'current', summary: `${verdictCounts(bounds)}.` });
    const duty = dutyIn('climb');
    const row = view.rows.find(({ value }) => value === boundKey(duty))!;
    expect(row).toMatchObject({
      label: 'Injector duty, highest',
      verdict: 'broken',
      situation: 'map set climb; also fuel_pressure failed',
    });
    expect(row.place!.name).toBe('fuel.injectors.maximum_duty');
    const asked = { value: row.value, through: [] };
    const explained = explanationOf(analysis, asked, NO_PREFERENCE, placesOf(analysis, editor), bounds)!;
    expect(explained.label).toBe('Injector duty');
    expect(explained.notes[0]).toMatch(/^In the state 5800 rpm, .* V, map set climb\.$/);
    expect(explained.inputs.length).toBeGreaterThan(1);
    const input = explained.inputs.findIndex(({ isDerived }) => isDerived);
    const inner = explanationOf(
      analysis,
      { value: row.value, through: [input] },
      NO_PREFERENCE,
      placesOf(analysis, editor),
      bounds,
    )!;
    expect(inner.trail).toEqual(['Injector duty']);
  });

  test('adds the state of a bound as an operating point, which derives the value reached', () => {
    const duty = dutyIn('climb');
    const added = addedState(analysis, duty, editor)!;
    expect(added.name).toBe('highest_injector_duty');
    const [edit] = added.edits;
    const { lines } = analysis.file;
    const [start, end] = [lines.offset(edit!.range.start), lines.offset(edit!.range.end)];
    const after = text.slice(0, start) + edit!.newText + text.slice(end);
    const files = new Map([
      ['a.engine.yaml', after],
      ['complete.controller.yaml', completeController],
    ]);
    const point = analyse(projectOf(files), PATH)!.derivation!.point(added.name)!;
    expect(point.get(injectorDuty)!.canonical / duty.reached).toBeCloseTo(1, 3);
    expect(point.engine.mapSet).toBe('climb');
  });

  test('says that bounds are old, awaited or unknown', () => {
    const view = (proved?: Proved) => installationViewOf(analysis, editor, proved)!.bounds;
    expect(view(outdated).status).toBe('outdated');
    expect(view()).toMatchObject({ status: 'awaited', rows: [] });
    const bare = analyse(projectOf(new Map([['a.engine.yaml', 'engine: {}\n']])), PATH)!;
    expect(installationViewOf(bare, editor)!.bounds).toMatchObject({ status: 'unknown', rows: [] });
  });
});
