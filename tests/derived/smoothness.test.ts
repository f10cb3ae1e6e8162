import { expect, test } from 'vitest';
import { analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { type Expectation, smoothnessOf } from '../../shared/derived/smoothness.ts';
import { completeController } from '../support/command-line.ts';
import { withRoughMap } from '../support/large.ts';

/** Whether the continuations of a cell use the other one, or it is that cell. */
function uses(cell: Expectation, other: Expectation): boolean {
  const down = Math.abs(cell.row - other.row);
  const across = Math.abs(cell.column - other.column);
  return (down <= 2 && across === 0) || (down === 0 && across <= 2) || (down === 1 && across === 1);
}

function median(numbers: readonly number[]): number {
  const sorted = [...numbers].sort((a, b) => a - b);
  const [low, high] = [
    sorted[Math.floor((sorted.length - 1) / 2)]!,
    sorted[Math.ceil((sorted.length - 1) / 2)]!,
  ];
  return sorted.length === 0 ? 0 : low + (high - low) / 2;
}

test.each([3, 4, 7, 12])(
  'the roughness beside each cell of a map of %d rows and columns follows its definition',
  (size) => {
    const text = withRoughMap(size, 'volumetric_efficiency');
    const path = '/installation/complete.engine.yaml';
    const analysis = analyse(
      createProject((asked) => (asked === path ? text : completeController)),
      path,
    )!;
    const smoothness = smoothnessOf(analysis.installation!.configuration.fuel!.volumetric_efficiency!)!;
    expect(smoothness.expectations.length).toBeGreaterThan(0);
    for (const cell of smoothness.expectations) {
      const others = smoothness.expectations.filter((other) => !uses(cell, other));
      const expected = 1.4826 * median(others.map(({ value, smooth }) => Math.abs(value - smooth)));
      expect(smoothness.roughnessAwayFrom(cell)).toBe(expected);
    }
  },
);
