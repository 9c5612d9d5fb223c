import { availableParallelism } from 'node:os';
import { defineConfig } from 'vitest/config';
import unit from './vitest.unit.ts';

/** Whole nights run side by side: room for a busy machine. */
const patience = 900_000;

/** The fast set as it is, and whole nights, pages in a browser and long runs beside it. */
export default defineConfig({
  test: {
    root: '.',
    // vitest leaves one core free, which on two cores runs one file at a time
    maxWorkers: Math.max(2, availableParallelism() - 1),
    reporters: ['default', ['json', { outputFile: '.scratch/test-report.json' }]],
    projects: [
      { test: { ...unit.test, name: 'unit', testTimeout: patience } },
      {
        test: {
          name: 'whole',
          root: '.',
          include: ['test/{slow,browser,night,simulator}/**/*.test.{ts,tsx}'],
          setupFiles: ['.config/seedProperties.ts'],
          testTimeout: patience,
          hookTimeout: patience,
        },
      },
    ],
  },
});
