import { expect, test } from 'vitest';
import { derivedPage } from '../../server/features/derived-words.ts';
import { uncertaintyNotes } from '../../server/uncertainty-words.ts';
import { pointValues } from '../../shared/derived/registry.ts';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';
import { analyseCase } from '../support/fixture.ts';

const TOLERANT = completeEngine
  .replace('static_flow: 340 cc/min', 'static_flow: 340 cc/min ± 3 %')
  .replace('bore: 84 mm', 'bore: 84 mm ± 0.1 mm');

const derivedIn = (text: string, id: string) => {
  const { derivation } = analyseCase(
    new Map([
      ['case.engine.yaml', text],
      ['complete.controller.yaml', completeController],
    ]),
  );
  return derivation!.point('cruise')!.get(pointValues.find((one) => one.id === id)!)!;
};

test('a value says within what it is, how uncertain, and from where', () => {
  const [note] = uncertaintyNotes(derivedIn(TOLERANT, 'injector_pulse_width'));
  expect(note).toMatch(
    /^\d+\.\d+ ms to \d+\.\d+ ms within the tolerances of the file; standard uncertainty 0\.\d+ ms, with 9\d % of the variance from fuel\.injectors\.static_flow, \d(\.\d+)? % of the variance from engine\.bore$/,
  );
});

test('a value without a tolerance says nothing of it', () => {
  expect(uncertaintyNotes(derivedIn(completeEngine, 'injector_pulse_width'))).toEqual([]);
});

test('the hover shows it', () => {
  expect(derivedPage(derivedIn(TOLERANT, 'injector_pulse_width'))).toContain(
    'within the tolerances of the file',
  );
});

test('derive gives it to programs, in the unit of the value', async () => {
  const folder = folderOf({ 'a.engine.yaml': TOLERANT, 'complete.controller.yaml': completeController });
  const { out } = await enginewright('derive', `${folder}/a.engine.yaml`, '--format', 'json');
  const values: { id: string; at: string; value: number; low?: number; high?: number }[] =
    JSON.parse(out).values;
  const flow = values.find(({ id, at }) => id === 'injector_flow' && at === 'operating_points.cruise')!;
  expect(flow).toMatchObject({
    low: expect.closeTo(0.97 * flow.value, 9),
    high: expect.closeTo(1.03 * flow.value, 9),
    standard_uncertainty: expect.closeTo((0.03 * flow.value) / Math.sqrt(3), 12),
    shares: [{ at: 'fuel.injectors.static_flow', share: 1 }],
  });
});
