import { parentPort } from 'node:worker_threads';
import { type YieldProblem, yieldFit } from './yieldFit.ts';

parentPort?.on('message', ({ place, input }: { place: number; input: YieldProblem }) => {
  parentPort?.postMessage({ place, answer: yieldFit(input) });
});
