import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: '.',
    include: ['test/**/*.test.{ts,tsx}'],
    exclude: ['test/{slow,browser,night,bench}/**'],
    testTimeout: 20_000,
  },
});
