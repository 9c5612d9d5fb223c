import { describe, expect, it } from 'vitest';
import { nearestInTime } from '../../src/tables/nearestInTime.ts';

const day = [0, 10, 20, 21, 22, 50, 51];

describe('nearestInTime', () => {
  it('takes the nearest by day, the own one first', () => {
    expect(nearestInTime([0, 1, 2, 3, 4, 5, 6], 4, { day, most: 3 })).toEqual([4, 3, 2]);
    expect(nearestInTime([0, 1, 5, 6], 1, { day, most: 2 })).toEqual([1, 0]);
    expect(nearestInTime([0, 1, 2], 2, { day: [5, 5, 5], most: 2 })).toEqual([2, 0]);
  });
  it('takes all where they are few', () => {
    expect(nearestInTime([3, 1], 1, { day, most: 2 })).toEqual([3, 1]);
    expect(nearestInTime([6], 6, { day, most: 1 })).toEqual([6]);
  });
});
