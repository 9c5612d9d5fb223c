import { nowMs } from './clock.ts';

/** How long one stage took. */
export type StageTime = { stage: string; startedMs: number; seconds: number };
export type StageClock = { progress: (stage: string) => void; stages: () => StageTime[] };

/** Passes the names of stages on to `progress` and notes when each began; `stages` closes the last one. */
export const stageClock = (progress: (stage: string) => void, now: () => number = nowMs): StageClock => {
  const began: { stage: string; startedMs: number }[] = [];
  return {
    progress: (stage) => {
      began.push({ stage, startedMs: now() });
      progress(stage);
    },
    stages: () => {
      const ended = now();
      return began.map((own, i) => ({
        ...own,
        seconds: ((began[i + 1]?.startedMs ?? ended) - own.startedMs) / 1000,
      }));
    },
  };
};
