import { parentPort } from 'node:worker_threads';
import { diskFileSystem } from '../src/system/fileSystem.ts';
import { readAsked } from './newFiles.ts';
import type { ReadingBatch } from './readOnWorkers.ts';

parentPort?.on('message', ({ place, input }: { place: number; input: ReadingBatch }) => {
  const answer = input.asked.map((one) => readAsked(one, input.setting, diskFileSystem));
  parentPort?.postMessage({ place, answer });
});
