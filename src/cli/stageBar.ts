import { SingleBar } from 'cli-progress';

/** Stages of a night, for the bar's length. */
const stages = 7;

type Stream = NodeJS.WriteStream;
export type StageBar = { stage: (name: string) => void; stop: () => void };

/** A bar that names the stage at work, on a terminal only; elsewhere nothing is printed. Colored unless NO_COLOR is set. */
export const stageBar = (stream: Stream, environment: NodeJS.ProcessEnv): StageBar => {
  if (!stream.isTTY || environment['TERM'] === 'dumb') return { stage: () => {}, stop: () => {} };
  const isPlain = (environment['NO_COLOR'] ?? '') !== '';
  const bar = new SingleBar({
    stream,
    format: isPlain ? '{bar} {stage}' : '\u001b[36m{bar}\u001b[0m {stage}',
    barsize: 20,
    barCompleteChar: '#',
    barIncompleteChar: '.',
    hideCursor: true,
    clearOnComplete: true,
    stopOnComplete: false,
    linewrap: false,
  });
  let done = -1;
  return {
    stage: (name) => {
      done += 1;
      if (done === 0) bar.start(stages, 0, { stage: name });
      else bar.update(Math.min(done, stages), { stage: name });
      bar.render();
    },
    stop: () => bar.stop(),
  };
};
