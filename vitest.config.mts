import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    setupFiles: ['tests/support/verify-caches.ts'],
    // All cores: Vitest by itself leaves one to the process that collects the results, which has little to
    // do.
    maxWorkers: '100%',
    // Nothing here measures time; a loaded machine must not turn a slow test into a failed one.
    testTimeout: 120_000,
    hookTimeout: 120_000,
    exclude: ['tests/editor/{suite,pictures,themes}/**', 'tests/web/**'], // run inside VS Code, by `npm run test:editor`
    // The client runs in VS Code, and main.ts and command.ts only as built programs, where nothing is
    // counted.
    coverage: {
      include: ['shared/**/*.ts', 'server/**/*.ts'],
      reporter: ['text-summary', 'json-summary', 'html'],
      reportsDirectory: '.test-output/coverage',
      reportOnFailure: true,
    },
  },
});
