import type { NightFacts } from './nightFacts.ts';

const msPerDay = 86_400_000;

/** Whole days since the data's last day when that is more than the chain allows, else 0. `now` in ms of the reader's clock. */
export const staleDays = (night: Pick<NightFacts, 'dataTo' | 'staleAfterDays'>, now: number): number => {
  const days = Math.floor((now - Date.parse(`${night.dataTo}T00:00:00Z`)) / msPerDay);
  return days > night.staleAfterDays ? days : 0;
};
