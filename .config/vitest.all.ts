import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: '.',
    include: ['test/**/*.test.{ts,tsx}'],
    exclude: ['test/bench/**'],
    testTimeout: 180_000,
    hookTimeout: 180_000,
    reporters: ['default', ['json', { outputFile: '.scratch/test-report.json' }]],
  },
});
