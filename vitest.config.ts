import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // Nothing here measures time; a loaded machine must not turn a slow test into a failed one.
    testTimeout: 120_000,
    hookTimeout: 120_000,
    exclude: ['tests/editor/{suite,pictures}/**'], // run inside VS Code, by `npm run test:editor`
  },
});
