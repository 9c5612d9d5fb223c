import { readFileSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { fitMixedModel } from '../../../src/model/mixed/fitMixedModel.ts';
import { codesOf } from '../../../src/tables/columns.ts';

// Certified values and data: NIST/ITL Statistical Reference Datasets, public domain; test/reference/nist.json by nist.R.
const { anova, univariate } = JSON.parse(readFileSync('test/reference/nist.json', 'utf8'));
type Source = { data_file: string; data_starts_at_line: number };

const numbersIn = ({ data_file, data_starts_at_line }: Source): number[][] =>
  readFileSync(`test/reference/${data_file}`, 'utf8')
    .split(/\r?\n/)
    .slice(data_starts_at_line - 1)
    .filter((line) => line.trim() !== '')
    .map((line) => line.trim().split(/\s+/).map(Number));

/** Correct significant digits of a result: -log10 of its relative error, at most 15. */
const digits = (result: number, certified: number): number =>
  Math.min(15, Math.max(0, -Math.log10(Math.abs(result - certified) / Math.abs(certified))));

const bits = 60;
/** A double as a whole number of 2^-60: exact for the values of these sets. */
const exact = (value: number): bigint => BigInt(value * 2 ** bits);
const ratio = (top: bigint, bottom: bigint): number =>
  Number((top * 10n ** 40n) / (bottom << BigInt(2 * bits))) / 1e40;

/** Mean squares of the values as doubles hold them, in whole-number arithmetic: what no engine that reads doubles can better. */
const asRead = (y: Float64Array, codes: Int32Array, levels: number): Sums => {
  const totals = new Array<bigint>(levels).fill(0n);
  let squares = 0n;
  for (const [i, value] of y.entries()) {
    totals[codes[i] as number] = (totals[codes[i] as number] as bigint) + exact(value);
    squares += exact(value) ** 2n;
  }
  const [n, count] = [BigInt(y.length), BigInt(levels)];
  const size = n / count;
  const ofTotals = totals.reduce((sum, total) => sum + total ** 2n, 0n);
  const whole = totals.reduce((sum, total) => sum + total, 0n);
  const within = ratio(size * squares - ofTotals, size * (n - count));
  const between = ratio(count * ofTotals - whole ** 2n, n * (count - 1n));
  return { within, between, f: between / within, sd: Math.sqrt(within) };
};

type Sums = { within: number; between: number; f: number; sd: number };

/** One-way table through the fit with random groups: mean squares from sigma^2 and theta^2 (balanced groups of `size`). */
const byRandomGroups = (y: Float64Array, codes: Int32Array, levels: number): Sums => {
  const fit = fitMixedModel({ y, x: [new Float64Array(y.length).fill(1)], factors: [{ codes, levels }] });
  const within = fit.sigma ** 2;
  const f = 1 + (y.length / levels) * (fit.theta[0] as number) ** 2;
  return { within, between: within * f, f, sd: fit.sigma };
};

/** The same through fixed group columns: residual sums of squares with and without them. */
const byFixedGroups = (y: Float64Array, codes: Int32Array, levels: number): Sums => {
  const one = new Float64Array(y.length).fill(1);
  const dummies = Array.from({ length: levels - 1 }, (_, g) =>
    Float64Array.from(codes, (code) => (code === g + 1 ? 1 : 0)),
  );
  const [all, none] = [
    fitMixedModel({ y, x: [one, ...dummies], factors: [] }),
    fitMixedModel({ y, x: [one], factors: [] }),
  ];
  const within = all.sigma ** 2;
  const between = (none.sigma ** 2 * (y.length - 1) - within * (y.length - levels)) / (levels - 1);
  return { within, between, f: between / within, sd: all.sigma };
};

const digitsOf = (ours: Sums, truth: Sums): Sums => ({
  within: digits(ours.within, truth.within),
  between: digits(ours.between, truth.between),
  f: digits(ours.f, truth.f),
  sd: digits(ours.sd, truth.sd),
});
const printed = (own: Sums): string =>
  `within ${own.within.toFixed(1)} between ${own.between.toFixed(1)} F ${own.f.toFixed(1)} SD ${own.sd.toFixed(1)}`;

describe('NIST sets through the engine, certified digits', () => {
  const report: string[] = [];
  for (const [name, set] of Object.entries<(typeof anova)[string]>(anova)) {
    if (!set.data_file.startsWith('data/')) continue;
    it(name, () => {
      const rows = numbersIn(set);
      const y = Float64Array.from(rows, (row) => row[1] as number);
      const { codes, levels } = codesOf(rows.map((row) => String(row[0])));
      const certified = {
        within: set.within.ms,
        between: set.between.ms,
        f: set.between.F,
        sd: set.resid_sd,
      };
      const read = asRead(y, codes, levels.length);
      const random = byRandomGroups(y, codes, levels.length);
      const fixed = byFixedGroups(y, codes, levels.length);
      const lost = digitsOf(read, certified);
      report.push(
        `${name}  REML: ${printed(digitsOf(random, certified))}`,
        `${' '.repeat(name.length)}  fixed groups: ${printed(digitsOf(fixed, certified))}`,
        `${' '.repeat(name.length)}  exact sums of the doubles read: ${printed(lost)}`,
      );
      // no more is lost than reading the values as doubles loses, up to the optimizer's flat top (between, F) and rounding
      const [ownRandom, ownFixed] = [digitsOf(random, read), digitsOf(fixed, read)];
      for (const own of [ownRandom, ownFixed]) {
        expect(own.within).toBeGreaterThan(9);
        expect(own.between).toBeGreaterThan(7.5);
      }
      const isHard = name === 'SmLs07' || name === 'SmLs08';
      for (const own of [random, fixed]) {
        expect(digitsOf(own, certified).sd).toBeGreaterThan(isHard ? 4 : 9);
        expect(digitsOf(own, certified).f).toBeGreaterThan(isHard ? 4 : 7.5);
      }
      // values near 10^12 keep 3 to 4 digits of a spread of 0.1: those sets cannot be met from doubles
      if (isHard) expect(Math.max(lost.within, lost.between)).toBeLessThan(5);
    });
  }
  for (const [name, set] of Object.entries<(typeof univariate)[string]>(univariate))
    it(name, () => {
      const y = Float64Array.from(numbersIn(set).flat());
      const fit = fitMixedModel({ y, x: [new Float64Array(y.length).fill(1)], factors: [] });
      const [mean, sd] = [digits(fit.beta[0] as number, set.mean), digits(fit.sigma, set.sd)];
      report.push(`${name}  mean ${mean.toFixed(1)} SD ${sd.toFixed(1)}`);
      expect(mean).toBeGreaterThan(14);
      expect(sd).toBeGreaterThan(8);
    });
  afterAll(() => console.log(report.join('\n')));
});
