import { defineConfig } from 'vitest/config';

/** The tests that are to notice a change in the room that MUTANTS names. */
const TESTS = {
  physics: 'tests/{physics,physics-electrical,reference,bus}/**/*.test.ts',
  checks: 'tests/checks/{fixtures,outlier}.test.ts',
};
const { MUTANTS, ONLY } = process.env;

export default defineConfig({
  test: {
    include: [TESTS[MUTANTS === 'checks' ? 'checks' : 'physics']],
    // Every check looks at every complete fixture; those whose name has this in it are meant for one.
    ...(ONLY !== undefined && { testNamePattern: ONLY }),
    testTimeout: 120_000,
  },
});
