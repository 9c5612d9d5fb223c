import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: '.',
    include: ['test/**/*.test.{ts,tsx}'],
    exclude: ['test/bench/**'],
    setupFiles: ['.config/seedProperties.ts'],
    // Whole nights run side by side: room for a busy machine.
    testTimeout: 900_000,
    hookTimeout: 900_000,
    reporters: ['default', ['json', { outputFile: '.scratch/test-report.json' }]],
  },
});
