import { Worker } from 'node:worker_threads';

/**
 * Answers of a worker file to each input, in the order of the inputs whatever worker gave them; inputs are taken in the
 * order given. The file answers every message { place, input } with { place, answer }. An error in a worker ends all.
 */
export const onWorkers = async <Input, Answer>(
  file: URL,
  inputs: readonly Input[],
  workers: number,
): Promise<Answer[]> => {
  const answers = new Array<Answer>(inputs.length);
  const pool = Array.from({ length: Math.min(workers, inputs.length) }, () => new Worker(file));
  let next = 0;
  const served = (worker: Worker): Promise<void> =>
    new Promise((resolve, reject) => {
      const give = (): void => {
        const place = next++;
        if (place < inputs.length) worker.postMessage({ place, input: inputs[place] });
        else resolve();
      };
      worker.on('message', ({ place, answer }: { place: number; answer: Answer }) => {
        answers[place] = answer;
        give();
      });
      worker.on('error', reject);
      worker.on('exit', (code) => reject(new Error(`worker ended early with code ${code}`)));
      give();
    });
  try {
    await Promise.all(pool.map(served));
  } finally {
    await Promise.all(pool.map((worker) => worker.terminate()));
  }
  return answers;
};
