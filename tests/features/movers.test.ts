import { expect, test } from 'vitest';
import { pointPage } from '../../server/features/point-hover.ts';
import { NO_PREFERENCE } from '../../server/preferred-units.ts';
import { moversOf, moversText } from '../../server/sensitivity-words.ts';
import { analyse } from '../../shared/analysis.ts';
import { pointValues } from '../../shared/derived/registry.ts';
import { completeEngine, enginewright, folderOf } from '../support/command-line.ts';
import { projectOf } from '../support/fixture.ts';

const derivation = analyse(
  projectOf(new Map([['a.engine.yaml', completeEngine]])),
  '/installation/a.engine.yaml',
)!.derivation!;
const point = derivation.point('cruise')!;
const moversFor = (id: string, at = point) => moversOf(at.get(pointValues.find((one) => one.id === id)!)!);

test('the numbers that move a value most come first, with the effect of one percent', () => {
  // Displacement, and with it the mass of air, grows with the square of the bore.
  expect(moversFor('air_mass_per_cycle')).toMatchObject([
    { at: 'engine.bore', text: '+2 % per 1 %' },
    { text: '+1 % per 1 %' },
    { text: expect.stringMatching(/ per 1 %$/) },
  ]);
  expect(moversText(moversFor('air_mass_per_cycle'))).toMatch(
    /^Most sensitive to engine\.bore \(\+2 % per 1 %\), /,
  );
});

test('a value whose zero is arbitrary moves by a difference, and a temperature moves it by the kelvin', () => {
  const deviation = moversFor('ambient_temperature', derivation.point('take_off')!).find(({ at }) =>
    at.endsWith('isa_deviation'),
  )!;
  expect(deviation.text).toBe('+1 K per 1 K');
});

test('a value that nothing moves says nothing', () => {
  expect(moversText([])).toBeUndefined();
});

test('the hover of an operating point has them for the main values', () => {
  const page = pointPage(derivation, point, NO_PREFERENCE);
  expect(page).toMatch(/^\*\*Injector duty\*\*: most sensitive to `[a-z_.]+` \([+−][\d.]+ % per 1 %\)/m);
});

test.each(['text', 'markdown'])('`derive` prints them as %s', async (format) => {
  const folder = folderOf({ 'a.engine.yaml': completeEngine });
  const { out } = await enginewright(
    'derive',
    `${folder}/a.engine.yaml`,
    '--point',
    'cruise',
    '--format',
    format,
  );
  expect(out.replace(/\s+/g, ' ')).toMatch(/Most sensitive to engine\.bore \(\+2 % per 1 %\)/);
});
