import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dayFromIso, isoFromDay } from '../../src/units/calendarDay.ts';
import { kgPerLb, kilogramsPer } from '../../src/units/weight.ts';

describe('calendar days', () => {
  it('counts from 1970 and refuses days that do not exist', () => {
    expect(dayFromIso('1970-01-01')).toBe(0);
    expect(dayFromIso('2000-02-29')).toBe(11016);
    expect(dayFromIso('2026-02-30')).toBeNaN();
    expect(dayFromIso('26-02-03')).toBeNaN();
    expect(isoFromDay(Number.NaN)).toBe('');
  });
  it('goes there and back for every day and agrees with the ECMAScript calendar', () => {
    fc.assert(
      fc.property(fc.integer({ min: -100000, max: 100000 }), (day) => {
        expect(dayFromIso(isoFromDay(Math.abs(day)))).toBe(Math.abs(day));
        expect(isoFromDay(Math.abs(day))).toBe(new Date(Math.abs(day) * 864e5).toISOString().slice(0, 10));
      }),
    );
  });
});

describe('weights', () => {
  it('uses the exact pound', () => {
    expect(kgPerLb).toBe(0.45359237);
    expect(kilogramsPer('oz') * 16).toBe(kgPerLb);
    expect(kilogramsPer('stone')).toBeNaN();
  });
});
