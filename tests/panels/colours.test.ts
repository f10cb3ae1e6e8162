import { expect, test } from 'vitest';
import { differencePalette, textOn, valuePalette } from '../../client/map-panel/view/scales.ts';
import type { TableView } from '../../shared/tables/view.ts';

const view = (numbers: readonly number[]) => ({ numbers: [numbers] }) as unknown as TableView;

// WCAG 2.2, 1.4.3: at least 4.5 to 1. Relative luminance as defined there, written out once more.
function contrast(colour: string, text: string): number {
  const [red, green, blue] = (colour.match(/\d+/g) ?? []).map((channel) => {
    const share = Number(channel) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  const luminance = 0.2126 * red! + 0.7152 * green! + 0.0722 * blue!;
  return text === 'white' ? 1.05 / (luminance + 0.05) : (luminance + 0.05) / 0.05;
}

const shares = Array.from({ length: 101 }, (_, i) => i / 50 - 1);

test.each([
  ['of values', valuePalette(view([-1, 1]))],
  ['of differences on dark', differencePalette(view([-1, 1]), 'rgb(31, 31, 31)')],
  ['of differences on light', differencePalette(view([-1, 1]), 'rgb(255, 255, 255)')],
])('numbers can be read on every colour %s', (_, palette) => {
  for (const share of shares) {
    const colour = palette.colour(share);
    expect(colour).toMatch(/^rgb\(\d+, \d+, \d+\)$/);
    expect(contrast(colour, textOn(colour))).toBeGreaterThanOrEqual(4.5);
  }
});

test('a cell without a difference has the colour of the background', () => {
  const { colour } = differencePalette(view([-3, 0, 2]), 'rgb(31, 31, 31)');
  expect(colour(0)).toBe('rgb(31, 31, 31)');
  expect(new Set([-3, 0, 2].map(colour)).size).toBe(3);
});
