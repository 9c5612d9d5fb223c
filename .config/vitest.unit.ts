import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: '.',
    include: ['test/**/*.test.{ts,tsx}'],
    exclude: ['test/{slow,browser,night,simulator,bench}/**'],
    setupFiles: ['.config/seedProperties.ts'],
    testTimeout: 20_000,
    // One import of each module for all files: halves the run. Tests leave nothing behind in modules.
    pool: 'threads',
    isolate: false,
  },
});
