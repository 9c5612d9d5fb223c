import { describe, expect, it } from 'vitest';
import { cusum } from '../../src/findings/change/cusum.ts';
import { ewma } from '../../src/findings/change/ewma.ts';
import { seededNormals } from '../findings/change/seededNormals.ts';

describe('average run lengths', () => {
  it('hold for the charts themselves by simulation, within 3 %', () => {
    // Table of section 5 of the statistics design: zero state, two-sided, fixed limits. Exact early limits: only sooner.
    const meanRun = (shift: number, runs: number, alarmAt: (values: Float64Array) => number): number => {
      const draw = seededNormals(20 + Math.round(100 * shift));
      let total = 0;
      for (let run = 0; run < runs; run++) {
        let values = new Float64Array(0);
        let at = -1;
        for (let length = 32; at < 0; length *= 4) {
          const longer = new Float64Array(length);
          longer.set(values);
          for (let i = values.length; i < length; i++) longer[i] = shift + draw();
          values = longer;
          at = alarmAt(values);
        }
        total += at + 1;
      }
      return total / runs;
    };
    const sums =
      (limit: number, headStart: number) =>
      (values: Float64Array): number =>
        cusum(values, { slack: 0.5, limit, headStart }).alarm?.at ?? -1;
    const rows: [number, number, number, number][] = [
      [4, 0, 0, 168],
      [4, 0, 1, 8.38],
      [5, 0, 0.5, 38],
      [5, 0, 2, 4.01],
      [5, 0.5, 0.25, 122],
      [5, 0.5, 1, 6.35],
    ];
    for (const [limit, headStart, shift, expected] of rows) {
      const ours = meanRun(shift, shift === 0 ? 16000 : 12000, sums(limit, headStart));
      expect(Math.abs(ours / expected - 1), `h ${limit} shift ${shift}: ${ours}`).toBeLessThan(0.03);
    }
    /** The chart against its final limits, as in the table. */
    const fixed =
      (lambda: number, width: number) =>
      (values: Float64Array): number => {
        const edge = width * Math.sqrt(lambda / (2 - lambda));
        return ewma(values, { lambda, width }).average.findIndex((average) => Math.abs(average) > edge);
      };
    const averages: [number, number, number, number][] = [
      [0.1, 2.814, 0.5, 31.3],
      [0.1, 2.814, 1, 10.3],
      [0.2, 2.962, 0.5, 41.8],
      [0.4, 3.054, 1, 14.3],
      [0.05, 2.615, 2, 5.22],
    ];
    for (const [lambda, width, shift, expected] of averages) {
      const ours = meanRun(shift, 12000, fixed(lambda, width));
      expect(Math.abs(ours / expected - 1), `lambda ${lambda} shift ${shift}: ${ours}`).toBeLessThan(0.03);
      const exact = meanRun(shift, 4000, (values) => ewma(values, { lambda, width }).alarmAt);
      expect(exact).toBeLessThan(ours);
    }
    const quiet = meanRun(0, 12000, fixed(0.1, 2.814));
    expect(Math.abs(quiet / 500 - 1), `quiet ${quiet}`).toBeLessThan(0.03);
  }, 120_000);
});
