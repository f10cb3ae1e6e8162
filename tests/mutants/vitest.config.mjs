import { defineConfig } from 'vitest/config';
import { ownFixtures, room } from './room.mjs';

const ofChecks = room.startsWith('shared/checks');

export default defineConfig({
  test: {
    // The tests that should detect a change.
    include: [
      ofChecks
        ? 'tests/checks/{families/*,outlier}.test.ts'
        : 'tests/{physics,physics-electrical,reference,bus}/**/*.test.ts',
    ],
    testNamePattern: ownFixtures(),
    testTimeout: 120_000,
  },
});
