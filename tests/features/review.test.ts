import { describe, expect, test } from 'vitest';
import { reviewOf } from '../../server/features/review.ts';
import type { CommittedFile, Review, ReviewItem } from '../../server/protocol.ts';
import { complete, completeController, edited } from '../compare/pair.ts';
import { editor } from './marked.ts';
import { completeAnalysis, workspaceOf } from './shop.ts';

const ENGINE = 'file:///shop/a.engine.yaml';
const CONTROLLER = 'file:///shop/complete.controller.yaml';
const BASE = 'file:///shop/base.engine.yaml';

type Texts = Readonly<Record<string, string>>;

const file = (uri: string, text: string | undefined): CommittedFile =>
  text === undefined ? { uri, state: 'none' } : { uri, state: 'committed', text };

/** Requests a review like an editor: fetches missing files and sends them with the next request. */
function review(working: Texts, committed: Texts, open = ENGINE): { review: Review | null; asked: string[] } {
  const nameOf = (uri: string) => uri.slice(uri.lastIndexOf('/') + 1);
  const workspace = workspaceOf(new Map(Object.entries(working)));
  workspace.rewrite(open, [{ text: working[nameOf(open)]! }]);
  const files = [file(open, committed[nameOf(open)])];
  for (;;) {
    const params = { textDocument: { uri: open }, committed: files };
    const { missing, review } = reviewOf(completeAnalysis(workspace, open), params, editor, workspace);
    if (missing.length === 0) return { review, asked: files.map(({ uri }) => uri) };
    files.push(...missing.map((uri) => file(uri, committed[nameOf(uri)])));
  }
}

/** The complete installation with parts of its text replaced, compared with the original. */
function changed(...replacements: readonly (readonly [string, string])[]): { review: Review; text: string } {
  const text = edited(complete, replacements);
  const controller = { 'complete.controller.yaml': completeController };
  const answer = review(
    { 'a.engine.yaml': text, ...controller },
    { 'a.engine.yaml': complete, ...controller },
  );
  return { review: answer.review!, text };
}

const flat = (items: readonly ReviewItem[]): ReviewItem[] =>
  items.flatMap((item) => [item, ...flat(item.children ?? [])]);

const lineOf = (text: string, part: string): number =>
  text.slice(0, text.indexOf(part)).split('\n').length - 1;

const WEAK = ['static_flow: 340 cc/min', 'static_flow: 120 cc/min'] as const;

describe('the lines of a review', () => {
  test('begin with the verdict, then the changes by their area, findings, and what follows', () => {
    const { review } = changed(WEAK, ['revision: A', 'revision: B']);
    const [verdict, ...groups] = review.items;
    expect(verdict).toMatchObject({ sign: 'stop', label: expect.stringMatching(/^\d+ new error/) });
    expect(verdict!.text).toBe(review.text);
    expect(groups.map(({ label }) => label)).toEqual([
      'Fuel',
      'General',
      'Findings',
      'Derived values',
      'Single faults made worse',
    ]);
    expect(groups[4]!.children).toContainEqual(
      expect.objectContaining({ detail: expect.stringContaining('→ damages'), sign: 'beyond' }),
    );
    expect(groups[0]!.children).toMatchObject([
      { label: 'Injectors › Static flow', detail: '340 cc/min → 120 cc/min (−220 cc/min, −64.7 %)' },
    ]);
  });

  test('lead to where the working text says it', () => {
    const { review, text } = changed(WEAK);
    const lines = flat(review.items).filter(({ place }) => place);
    const change = lines.find(({ sign }) => sign === 'changed')!;
    expect(change.place).toMatchObject({
      uri: ENGINE,
      range: { start: { line: lineOf(text, 'static_flow') } },
    });
    const finding = lines.find(({ label }) => label === 'injector-duty-over-100')!;
    expect(finding.place).toMatchObject({
      uri: ENGINE,
      range: { start: { line: lineOf(text, 'static_flow') } },
    });
  });

  test('tell values near their limit one by one and fold the others away', () => {
    const { review } = changed(WEAK);
    const follows = review.items.find(({ label }) => label === 'Derived values')!.children!;
    const duty = follows.find(({ label }) => label === 'Injector duty')!;
    expect(duty.detail).toBe('at most 85 % (maximum duty)');
    expect(duty.children).toContainEqual(
      expect.objectContaining({
        label: 'take_off',
        sign: 'beyond',
        detail: expect.stringMatching(/^[\d.]+ % → [\d.]+ % \(\+[\d.]+ points\), margin .* points$/),
        text: expect.stringContaining('now beyond the limit'),
      }),
    );
    expect(follows.at(-1)).toMatchObject({
      label: expect.stringMatching(/^\d+ other values?$/),
      isOpen: false,
    });
  });

  test('lead to what a thing stood in where it is gone', () => {
    const cam = '  cam: { measures: cam_position, kind: phase, pin: B2, pickup: hall }\n';
    const { review, text } = changed([cam, '']);
    const removed = flat(review.items).find(({ sign }) => sign === 'removed')!;
    expect(removed.place!.range.start.line).toBe(lineOf(text, 'sensors:'));
  });

  test('name a changed map, so that an editor can show the delta', () => {
    const { review, text } = changed(['[0.86, 0.84, 0.80]', '[0.86, 0.84, 0.79]']);
    const map = flat(review.items).find(({ sign }) => sign === 'map')!;
    expect(map.table).toBe('fuel.target_lambda');
    // It leads to the first changed cell.
    const { start } = map.place!.range;
    expect(text.split('\n')[start.line]!.slice(start.character)).toMatch(/^0\.79\]/);
  });
});

describe('old values', () => {
  const hints = (review: Review, text: string) =>
    review.oldValues.map(({ position, text: words }) => {
      const before = text.split('\n')[position.line]!.slice(0, position.character);
      return `${before.trim().split(/[ [{]/).at(-1)} ${words}`;
    });

  test('stand behind the new ones', () => {
    const { review, text } = changed(WEAK);
    expect(hints(review, text)).toEqual(['cc/min was 340 cc/min']);
  });

  test('stand behind each cell that moved', () => {
    const { review, text } = changed(['[0.86, 0.84, 0.80]', '[0.85, 0.84, 0.79]']);
    expect(hints(review, text)).toEqual(['0.85 was 0.86', '0.79 was 0.80']);
  });

  test('of a table over other breakpoints are told at its key', () => {
    const { review, text } = changed([
      'breakpoints: [-20, 20, 80] }\n    unit: ms\n    values: [32, 14, 7]',
      'breakpoints: [-30, 20, 50] }\n    unit: ms\n    values: [40, 14, 8]',
    ]);
    expect(hints(review, text)).toEqual([expect.stringMatching(/^cranking_pulse: breakpoints changed/)]);
  });

  test('tell the old name of a thing', () => {
    const { review, text } = changed(['  take_off: { speed', '  departure: { speed']);
    expect(hints(review, text)).toContainEqual(expect.stringMatching(/was take_off$/));
  });

  test('are none where the commit says the same in other words', () => {
    const { review } = changed(['bore: 84 mm', 'bore: 8.4 cm # as measured']);
    expect(review).toMatchObject({ verdict: 'nothing', items: [], oldValues: [] });
  });
});

describe('the committed state', () => {
  const overlay = 'enginefile: 1\nbased_on: ./base.engine.yaml\nrevision: X\n';
  const controller = { 'complete.controller.yaml': completeController };

  test('has the base and the controller of its own time', () => {
    const { review: told, asked } = review(
      { 'a.engine.yaml': overlay, 'base.engine.yaml': edited(complete, [WEAK]), ...controller },
      { 'a.engine.yaml': overlay, 'base.engine.yaml': complete, ...controller },
    );
    expect(asked.sort()).toEqual([ENGINE, BASE, CONTROLLER]);
    expect([...told!.files].sort()).toEqual([ENGINE, BASE, CONTROLLER]);
    expect(told!.verdict).toBe('stop');
    const change = flat(told!.items).find(({ sign }) => sign === 'changed')!;
    // It is written in the base file, so it has no hint in this text.
    expect(change.place!.uri).toBe(BASE);
    expect(told!.oldValues).toEqual([]);
  });

  test('of a file that was never committed is none', () => {
    const { review: told } = review({ 'a.engine.yaml': complete, ...controller }, controller);
    expect(told).toBeNull();
  });

  test('takes a file that nobody keeps versions of as it is', () => {
    const workspace = workspaceOf(new Map([['complete.controller.yaml', completeController]]));
    workspace.rewrite(ENGINE, [{ text: complete }]);
    const committed = [file(ENGINE, complete), { uri: CONTROLLER, state: 'unversioned' as const }];
    const params = { textDocument: { uri: ENGINE }, committed };
    const answer = reviewOf(completeAnalysis(workspace, ENGINE), params, editor, workspace);
    expect(answer).toMatchObject({ missing: [], review: { verdict: 'nothing' } });
  });

  test.each([
    ...['', '\0', '[', '- a\n', 'engine: {{{{\n', 'fuel:\n  rail: [1, {a: 2}]\n', 'engine: &e\n  bore: *e\n'],
    ...[300, 2000, 5000, 8000].map((cut) => complete.slice(0, cut)),
    complete.replaceAll('\n', '\r\n').replace('bore: 84 mm', 'bore: 85 mm'),
  ])('is held against half-typed and hostile text: %#', (working) => {
    const answer = review(
      { 'a.engine.yaml': working, ...controller },
      { 'a.engine.yaml': complete, ...controller },
    );
    expect(answer.review!.items.length).toBeGreaterThan(0);
    for (const { place } of flat(answer.review!.items)) if (place) expect(place.uri).toMatch(/^file:/);
    // JSON must preserve everything: no infinite and no undefined values.
    expect(JSON.parse(JSON.stringify(answer.review))).toStrictEqual(answer.review);
  });
});
