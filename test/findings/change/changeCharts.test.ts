import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cusum } from '../../../src/findings/change/cusum.ts';
import { ewma } from '../../../src/findings/change/ewma.ts';
import { cusumRunLength, ewmaRunLength, ewmaWidthFor } from '../../../src/findings/change/runLength.ts';
import { forecastErrors, selfStarting } from '../../../src/findings/change/selfStarting.ts';
import { seededNormals } from './seededNormals.ts';

// Reference: test/reference/misc.json, made by misc.R (run lengths: R package spc, integral equations).
const { ewma: charts, arl } = JSON.parse(readFileSync('test/reference/misc.json', 'utf8'));
const close = (ours: Float64Array, expected: number[], digits = 12): void => {
  expect(ours.length).toBe(expected.length);
  for (const [i, value] of expected.entries()) expect(ours[i]).toBeCloseTo(value, digits);
};
const series = fc.array(fc.double({ min: -4, max: 4, noNaN: true }), { maxLength: 60 });

describe('EWMA', () => {
  it('equals the reference averages and exact limits', () => {
    const chart = ewma(charts.x, { lambda: charts.lambda, width: charts.L });
    close(chart.average, charts.z);
    close(chart.limit, charts.limits_halfwidth);
    expect(chart.alarmAt).toBe(charts.z.findIndex((z: number, i: number) => z > charts.limits_halfwidth[i]));
    expect(chart.alarmAt).toBe(9);
  });
  it('ends at the limits of a textbook example with 50, 2.0539, 0.3, 3', () => {
    const example = charts.nist_handbook_example;
    const chart = ewma(new Float64Array(60), { lambda: example.lambda, width: example.k });
    expect(example.mu0 + example.sigma * (chart.limit[59] as number)).toBeCloseTo(example.UCL, 8);
  });
  it('keeps its state over missing values and has no alarm without values', () => {
    const options = { lambda: 0.1, width: 2.814 };
    expect(ewma([], options).alarmAt).toBe(-1);
    expect(ewma([Number.NaN, Number.NaN], options).alarmAt).toBe(-1);
    const [whole, holes] = [ewma([1, 2], options), ewma([1, Number.NaN, 2], options)];
    expect(holes.average[1]).toBe(holes.average[0]);
    expect(holes.average[2]).toBe(whole.average[1]);
    expect(holes.limit[2]).toBe(whole.limit[1]);
  });
});

describe('CUSUM', () => {
  it('equals the reference sums', () => {
    const chart = cusum(charts.x, { slack: 0.5, limit: 4 });
    close(chart.up, charts['cusum_k0.5'].plus);
    close(chart.down, charts['cusum_k0.5'].minus);
    expect(chart.alarm).toMatchObject({ at: 9, changedAt: 6, side: 1 });
  });
  it('dates a change at the last zero and measures it', () => {
    // worked by hand: sums 0, 0, 1.5, 3.0, 4.5 with slack 0.5
    const chart = cusum([0, -1, 2, 2, 2], { slack: 0.5, limit: 4 });
    expect([...chart.up]).toEqual([0, 0, 1.5, 3, 4.5]);
    expect(chart.alarm).toEqual({ at: 4, changedAt: 2, side: 1, shift: 2 });
  });
  it('finds a change from the first value on sooner with a head start', () => {
    const plain = cusum([-1.5, -1.5, -1.5, -1.5, -1.5], { slack: 0.5, limit: 4 });
    const fast = cusum([-1.5, -1.5, -1.5, -1.5, -1.5], { slack: 0.5, limit: 4, headStart: 0.5 });
    expect(plain.alarm?.at).toBe(4);
    expect(fast.alarm).toEqual({ at: 2, changedAt: 0, side: -1, shift: -1.5 });
  });
  it('turns with its values and ignores missing ones', () => {
    fc.assert(
      fc.property(series, (values) => {
        const options = { slack: 0.5, limit: 3, headStart: 0.5 };
        const [chart, turned] = [
          cusum(values, options),
          cusum(
            values.map((value) => -value),
            options,
          ),
        ];
        close(turned.down, [...chart.up]);
        const holes = cusum(
          values.flatMap((value) => [Number.NaN, value]),
          options,
        );
        expect(holes.alarm?.at).toBe(chart.alarm === undefined ? undefined : 2 * chart.alarm.at + 1);
        if (chart.alarm) expect(Math.sign(chart.alarm.shift)).toBe(chart.alarm.side);
      }),
    );
  });
});

describe('self-starting values', () => {
  it('equals a case worked with R: qnorm(pt(T, n - 2))', () => {
    const ours = selfStarting([3, 5, 4, 9, 2, 4.5]);
    expect(ours[0]).toBeNaN();
    expect(ours[1]).toBeNaN();
    close(ours.slice(2), [0, 1.96500529922, -0.935150894959, -0.031756956573], 11);
  });
  it('is standard normal while nothing changes, whatever mean and SD', () => {
    const draw = seededNormals(11);
    let [n, sum, squares] = [0, 0, 0];
    for (let run = 0; run < 1500; run++) {
      const ours = selfStarting(Array.from({ length: 12 }, () => 40 + 7 * draw()));
      for (const value of ours.slice(2)) {
        n++;
        sum += value;
        squares += value * value;
      }
    }
    expect(Math.abs(sum / n)).toBeLessThan(4 / Math.sqrt(n));
    expect(Math.abs(squares / n - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
  });
  it('does not mind units and shifts, equal values, missing values', () => {
    fc.assert(
      fc.property(series, (values) => {
        const ours = selfStarting(values.map((value) => Math.round(100 * value)));
        const other = selfStarting(values.map((value) => 7 + 3 * Math.round(100 * value)));
        for (const [i, value] of ours.entries())
          if (Number.isNaN(value)) expect(other[i]).toBeNaN();
          else expect(other[i]).toBeCloseTo(value, 6);
      }),
    );
    expect([...selfStarting([2, 2, 2, 2])].every(Number.isNaN)).toBe(true);
    expect(selfStarting([3, Number.NaN, 5, 4])[3]).toBe(selfStarting([3, 5, 4])[2]);
  });
  it('forecasts from a prior and the values before', () => {
    // by hand: prior N(1, 2^2), SD 1: first (4 - 1) / sqrt(5); then mean 1 + 3 x 0.8 = 3.4, variance 0.8
    const ours = forecastErrors([4, 3.4], { sd: 1, priorMean: 1, priorSd: 2 });
    close(ours, [3 / Math.sqrt(5), 0]);
    const unknown = forecastErrors([4, 6], { sd: 2, priorMean: 99, priorSd: Number.POSITIVE_INFINITY });
    expect(unknown[0]).toBeNaN();
    expect(unknown[1]).toBeCloseTo(2 / Math.sqrt(8), 12);
  });
});

describe('average run lengths', () => {
  it('equal the reference of integral equations', () => {
    const shifts = (row: { shift: number[]; ARL?: number[] }): [number, number][] =>
      row.shift.map((shift, i) => [shift, i]);
    for (const row of arl.ewma_zero_state_fixed_limits)
      for (const [shift, i] of shifts(row))
        expect(ewmaRunLength({ lambda: row.lambda, width: row.L }, shift) / row.ARL[i]).toBeCloseTo(1, 5);
    for (const row of arl.cusum)
      for (const [shift, i] of shifts(row)) {
        const options = { slack: row.k, limit: row.h };
        expect(cusumRunLength(options, shift) / row.ARL_two_sided[i]).toBeCloseTo(1, 5);
        const fast = cusumRunLength({ ...options, headStart: 0.5 }, shift);
        expect(fast / row.ARL_FIR_half_h[i]).toBeCloseTo(1, 5);
      }
  });
  it('give the width for a wanted rate', () => {
    expect(ewmaWidthFor(0.1, 499.579550082591)).toBeCloseTo(2.814, 5);
  });
});
