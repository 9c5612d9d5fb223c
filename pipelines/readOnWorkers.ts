import { onWorkers } from '../src/system/onWorkers.ts';
import type { OpenedInbox } from './intake.ts';
import type { AnsweredFile, AskedFile, ReadingSetting } from './newFiles.ts';

/** What a worker is given at once: one large file, or many small ones. */
export type ReadingBatch = { asked: readonly AskedFile[]; setting: ReadingSetting };

const batchBytes = 2e6;
/** Below so many bytes a night is read sooner than workers are started. */
const fewestBytes = 8e6;

/** Reads the files asked for side by side, with the same answers for any number of jobs; undefined where one thread is to do it. Needs the compiled program. */
export const readOnWorkers = async (
  { asked, setting }: OpenedInbox,
  jobs: number,
): Promise<AnsweredFile[] | undefined> => {
  const bytes = asked.reduce((sum, { entry }) => sum + entry.size, 0);
  const batches = batchesOf(asked).map((own): ReadingBatch => ({ asked: own, setting }));
  if (jobs < 2 || bytes < fewestBytes || batches.length < 2) return undefined;
  const answers = await onWorkers<ReadingBatch, AnsweredFile[]>(
    new URL('./readFilesWorker.js', import.meta.url),
    batches,
    jobs,
  );
  return answers.flat();
};

const batchesOf = (asked: readonly AskedFile[]): AskedFile[][] => {
  const batches: AskedFile[][] = [];
  let room = 0;
  for (const one of asked) {
    if (room <= 0) {
      batches.push([]);
      room = batchBytes;
    }
    batches.at(-1)?.push(one);
    room -= one.entry.size;
  }
  return batches;
};
