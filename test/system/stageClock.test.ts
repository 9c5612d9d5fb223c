import { describe, expect, it } from 'vitest';
import { stageClock } from '../../src/system/stageClock.ts';

describe('stageClock', () => {
  it('gives each stage the time until the next, the last until it is asked', () => {
    const told: string[] = [];
    const times = [1000, 1250, 4000];
    const clock = stageClock(
      (stage) => told.push(stage),
      () => times.shift() as number,
    );
    clock.progress('reading');
    clock.progress('writing');
    expect(clock.stages()).toEqual([
      { stage: 'reading', startedMs: 1000, seconds: 0.25 },
      { stage: 'writing', startedMs: 1250, seconds: 2.75 },
    ]);
    expect(told).toEqual(['reading', 'writing']);
  });
  it('has no stages before the first', () => {
    expect(
      stageClock(
        () => {},
        () => 0,
      ).stages(),
    ).toEqual([]);
  });
});
