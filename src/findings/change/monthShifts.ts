import { monthOf } from '../../units/calendarDay.ts';

const rounds = 6;
const bound = 2.5;

/**
 * What all people's tests of a calendar month have in common beyond each group's own level (group = cutter x item), per
 * test, in the unit of the values: the controls of a change in one cutter. Two-way fit by turns, tests beyond 2.5 SDs
 * bounded, shrunken by what months differ; 0 where fewer than two months are seen. sd: of one test; codes 0..groups-1.
 */
export const monthShifts = (
  values: Float64Array,
  sd: Float64Array,
  { day, group, groups }: { day: Float64Array; group: Int32Array; groups: number },
): Float64Array => {
  const months = Int32Array.from(day, monthOf);
  const first = months.reduce((least, month) => Math.min(least, month), Number.POSITIVE_INFINITY);
  const count = months.reduce((most, month) => Math.max(most, month - first + 1), 0);
  if (count < 2) return new Float64Array(values.length);
  const place = months.map((month) => month - first);
  const months_: Level = { codes: place, effect: new Float64Array(count) };
  const groups_: Level = { codes: group, effect: new Float64Array(groups) };
  for (let round = 0; round < rounds; round++) {
    settle(values, sd, { level: groups_, other: months_, isShrunken: false });
    settle(values, sd, { level: months_, other: groups_, isShrunken: true });
  }
  return Float64Array.from(place, (month) => months_.effect[month] as number);
};

type Level = { codes: Int32Array; effect: Float64Array };

/** Sets the effects of one side given the other; changes `level.effect`. */
const settle = (
  values: Float64Array,
  sd: Float64Array,
  { level, other, isShrunken }: { level: Level; other: Level; isShrunken: boolean },
): void => {
  const { codes, effect } = level;
  const weight = new Float64Array(effect.length);
  const sum = new Float64Array(effect.length);
  for (let i = 0; i < values.length; i++) {
    const own = sd[i] as number;
    if (!(own > 0)) continue;
    const k = codes[i] as number;
    const gap = (values[i] as number) - (other.effect[other.codes[i] as number] as number);
    const now = effect[k] as number;
    const within = now + Math.min(bound * own, Math.max(-bound * own, gap - now));
    weight[k] = (weight[k] as number) + 1 / own ** 2;
    sum[k] = (sum[k] as number) + within / own ** 2;
  }
  const means = sum.map((value, k) => ((weight[k] as number) > 0 ? value / (weight[k] as number) : 0));
  const between = isShrunken ? spreadBeyondNoise(means, weight) : Number.POSITIVE_INFINITY;
  for (const [k, value] of means.entries()) {
    const noise = 1 / (weight[k] as number);
    effect[k] =
      between === Number.POSITIVE_INFINITY
        ? value
        : (weight[k] as number) > 0
          ? (value * between) / (between + noise)
          : 0;
  }
};

/** Variance of true means by moments: mean square less mean noise, 0 or more. */
const spreadBeyondNoise = (means: Float64Array, weight: Float64Array): number => {
  let [squares, noise, n] = [0, 0, 0];
  for (const [k, value] of means.entries()) {
    if (!((weight[k] as number) > 0)) continue;
    squares += value * value;
    noise += 1 / (weight[k] as number);
    n++;
  }
  return n < 2 ? 0 : Math.max(0, (squares - noise) / n);
};
