import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/editor/{suite,pictures}/**'], // run inside VS Code, by `npm run test:editor`
  },
});
