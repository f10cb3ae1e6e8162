import { defineConfig } from 'vitest/config';

/** The tests that are to notice a change in the room that MUTANTS names. */
const TESTS = {
  physics: 'tests/{physics,physics-electrical,reference,bus}/**/*.test.ts',
  checks: 'tests/checks/{fixtures,outlier}.test.ts',
};

export default defineConfig({
  test: { include: [TESTS[process.env.MUTANTS === 'checks' ? 'checks' : 'physics']], testTimeout: 120_000 },
});
