import { SingleBar } from 'cli-progress';
import type { Night } from '../../pipelines/nightly.ts';

/** Stages of a night, for the bar's length. */
const stages = 7;

/** The bar is redrawn after so many pages: often enough to be seen to move, too seldom to slow the night. */
const pagesAtOnce = 10;

type Stream = NodeJS.WriteStream;
export type StageBar = {
  stage: (name: string) => void;
  /** How far the pages are, told beside the stage at work; redrawn after every so many of them. */
  pages: NonNullable<Night['onPage']>;
  stop: () => void;
};

/** A bar that names the stage at work, on a terminal only; elsewhere nothing is printed. Colored unless NO_COLOR is set. */
export const stageBar = (stream: Stream, environment: NodeJS.ProcessEnv): StageBar => {
  if (!stream.isTTY || environment['TERM'] === 'dumb')
    return { stage: () => {}, pages: () => {}, stop: () => {} };
  const isPlain = (environment['NO_COLOR'] ?? '') !== '';
  const bar = new SingleBar({
    stream,
    format: isPlain ? '{bar} {stage}{pages}' : '\u001b[36m{bar}\u001b[0m {stage}{pages}',
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
      if (done === 0) bar.start(stages, 0, { stage: name, pages: '' });
      else bar.update(Math.min(done, stages), { stage: name, pages: '' });
      bar.render();
    },
    pages: ({ drawn, takenOver, of }) => {
      const sofar = drawn + takenOver;
      if (sofar % pagesAtOnce !== 0 && sofar !== of) return;
      bar.update({ pages: `: ${sofar} of ${of}${takenOver === 0 ? '' : `, ${takenOver} taken over`}` });
      bar.render();
    },
    stop: () => bar.stop(),
  };
};
