import { beforeAfter, type Contrast, changePlace } from './beforeAfter.ts';
import type { ChartLimits } from './chartLimits.ts';
import { cusum } from './cusum.ts';
import { ewma } from './ewma.ts';
import { type CutterSeries, type ForecastPrior, pooledForecast } from './pooledForecast.ts';

/** A change of level at test `at`, told by the alarm at `alarmAt`; its time runs from test `from` to before `end`. */
export type SeriesChange = {
  from: number;
  at: number;
  alarmAt: number;
  end: number;
  side: 1 | -1;
  contrast: Contrast;
};
export type ChartSettings = {
  prior: ForecastPrior;
  scale: number;
  bound: number;
  limits: ChartLimits;
  /** P-value of a contrast; changes above `most` are none, and the levels on both sides of such a one are one. */
  clear?: { pValueOf: (contrast: Contrast) => number; most: number };
};

/** At least this many tests on either side before a change is dated. */
export const fewest = 4;
/** After a change the level may lie anywhere: prior SDs there are this many times those of the start. */
const openAfter = 5;
/** P-value, over all dates and all that was looked at in a cutter, from which a change needs no alarm. */
const mostWithoutAlarm = 0.01;
/** P-value from which such a change counts as heard of: it sways about the one above from night to night. */
const heardFrom = 0.02;
/** The date of a change is taken from tests up to this many after the alarm, so that it does not wander for ever. */
const settle = 12;

/**
 * Changes of level in one series, earliest first. A chart pair (EWMA and CUSUM) runs over the forecast errors; at an alarm
 * the change is dated where before and after differ most (maximum likelihood; the CUSUM's last zero is less exact) and new
 * charts with a new baseline start there; the same where the contrast is sure without an alarm. Contrasts compare the time
 * from the change before to the change after. A level
 * ends only at a change that is itself kept: those not clear are taken out one by one, the least clear first.
 */
export const changesInSeries = (series: CutterSeries, settings: ChartSettings): SeriesChange[] => {
  const n = series.left.length;
  const found: Place[] = [];
  let from = 0;
  const values = new Float64Array(n);
  while (n - from >= 2 * fewest) {
    const part = partOf(series, from, n);
    const { all, item } = settings.prior;
    const opened = from === 0 ? 1 : openAfter;
    const forecast = pooledForecast(part, { all: opened * all, item: opened * item }, settings);
    values.set(forecast.bounded, from);
    const place =
      charted(forecast, part, settings.limits) ?? sureWithoutAlarm(forecast.bounded, part, settings.clear);
    if (place === undefined) break;
    found.push({ at: from + place.at, alarmAt: from + place.alarmAt, side: place.side });
    from += place.at;
  }
  const { clear } = settings;
  for (;;) {
    const changes = withLevels(found, values, series);
    if (clear === undefined) return changes;
    const pValues = changes.map(({ contrast }) => clear.pValueOf(contrast));
    const largest = Math.max(...pValues);
    if (!(largest > clear.most)) return changes;
    found.splice(pValues.indexOf(largest), 1);
  }
};

type Place = Pick<SeriesChange, 'at' | 'alarmAt' | 'side'>;

/** The change that the first alarm of the charts tells of. */
const charted = (
  { bounded, errors }: { bounded: Float64Array; errors: Float64Array },
  part: CutterSeries,
  limits: ChartLimits,
): Place | undefined => {
  const alarm = firstAlarm(errors, limits);
  if (alarm === undefined) return undefined;
  const to = Math.min(part.left.length, alarm.at + 1 + settle);
  const at = changePlace(bounded, part, { from: 0, to, sign: alarm.side, fewest });
  return at < 0 ? undefined : { at, alarmAt: alarm.at, side: alarm.side };
};

/**
 * The change at the largest contrast of all places where luck alone seldom makes such a one, though no chart gave an alarm:
 * a chart that stays just below its limit one night and crosses it the next would let a lasting change come and go. The test
 * that could have given the alarm is the first with which the same date was nearly as sure.
 */
const sureWithoutAlarm = (
  values: Float64Array,
  part: CutterSeries,
  clear: ChartSettings['clear'],
): Place | undefined => {
  if (clear === undefined) return undefined;
  const to = values.length;
  const pValueAt = (at: number, end: number): number =>
    clear.pValueOf(beforeAfter(values, part, { from: 0, at, to: end }));
  const ways = ([-1, 1] as const).map((side) => {
    const at = changePlace(values, part, { from: 0, to, sign: side, fewest });
    return { at, side, z: at < 0 ? 0 : side * beforeAfter(values, part, { from: 0, at, to }).z };
  });
  const { at, side } = ways.reduce((best, way) => (way.z > best.z ? way : best));
  if (at < 0 || pValueAt(at, to) > mostWithoutAlarm) return undefined;
  let end = at + fewest;
  while (end < to && pValueAt(at, end) > heardFrom) end++;
  return { at, alarmAt: end - 1, side };
};

/** Each change with the levels before and after, which end at the changes beside it. */
const withLevels = (found: readonly Place[], values: Float64Array, series: CutterSeries): SeriesChange[] =>
  found.map((change, k) => {
    const from = found[k - 1]?.at ?? 0;
    const end = found[k + 1]?.at ?? values.length;
    return { ...change, from, end, contrast: beforeAfter(values, series, { from, at: change.at, to: end }) };
  });

const partOf = ({ left, sd, item, items }: CutterSeries, from: number, to: number): CutterSeries => ({
  left: left.subarray(from, to),
  sd: sd.subarray(from, to),
  item: item.subarray(from, to),
  items,
});

/** The earlier alarm of the two charts. */
const firstAlarm = (errors: Float64Array, limits: ChartLimits): { at: number; side: 1 | -1 } | undefined => {
  const sums = cusum(errors, limits.cusum).alarm;
  const average = ewma(errors, limits.ewma);
  const at = average.alarmAt;
  if (at >= 0 && (sums === undefined || at < sums.at))
    return { at, side: (average.average[at] as number) > 0 ? 1 : -1 };
  return sums === undefined ? undefined : { at: sums.at, side: sums.side };
};
