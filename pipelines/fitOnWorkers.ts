import type { FitAll, YieldFit, YieldProblem } from '../src/model/yieldFit.ts';
import { onWorkers } from '../src/system/onWorkers.ts';

/** Below so many tests a night is fitted sooner than workers are started. */
const fewestTests = 5000;

/** Fits items side by side, the largest first; the same bytes for any number of workers. Needs the compiled program. */
export const fitOnWorkers =
  (workers: number): FitAll =>
  async (problems, fit) => {
    const tests = problems.reduce((sum, problem) => sum + problem.day.length, 0);
    if (workers < 2 || tests < fewestTests) return problems.map(fit);
    const order = [...problems.keys()].sort(
      (a, b) => (problems[b] as YieldProblem).day.length - (problems[a] as YieldProblem).day.length,
    );
    const answers = await onWorkers<YieldProblem, YieldFit>(
      new URL('../src/model/yieldFitWorker.js', import.meta.url),
      order.map((place) => problems[place] as YieldProblem),
      workers,
    );
    const fits = new Array<YieldFit>(problems.length);
    for (const [at, place] of order.entries()) fits[place] = answers[at] as YieldFit;
    return fits;
  };
