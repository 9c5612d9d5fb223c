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
export type ChartSettings = { prior: ForecastPrior; scale: number; bound: number; limits: ChartLimits };

/** At least this many tests on either side before a change is dated. */
export const fewest = 4;
/** After a change the level may lie anywhere: prior SDs there are this many times those of the start. */
const openAfter = 5;
/** The date of a change is taken from tests up to this many after the alarm, so that it does not wander for ever. */
const settle = 12;

/**
 * Changes of level in one series, earliest first. A chart pair (EWMA and CUSUM) runs over the forecast errors; at an alarm
 * the change is dated where before and after differ most (maximum likelihood; the CUSUM's last zero is less exact) and new
 * charts with a new baseline start there. Contrasts compare the time from the change before to the change after.
 */
export const changesInSeries = (series: CutterSeries, settings: ChartSettings): SeriesChange[] => {
  const n = series.left.length;
  const found: Pick<SeriesChange, 'at' | 'alarmAt' | 'side'>[] = [];
  let from = 0;
  const values = new Float64Array(n);
  while (n - from >= 2 * fewest) {
    const part = partOf(series, from, n);
    const { all, item } = settings.prior;
    const opened = from === 0 ? 1 : openAfter;
    const forecast = pooledForecast(part, { all: opened * all, item: opened * item }, settings);
    values.set(forecast.bounded, from);
    const alarm = firstAlarm(forecast.errors, settings.limits);
    if (alarm === undefined) break;
    const at = changePlace(forecast.bounded, part, {
      from: 0,
      to: Math.min(part.left.length, alarm.at + 1 + settle),
      sign: alarm.side,
      fewest,
    });
    if (at < 0) break;
    found.push({ at: from + at, alarmAt: from + alarm.at, side: alarm.side });
    from += at;
  }
  return found.map((change, k) => {
    const begin = found[k - 1]?.at ?? 0;
    const end = found[k + 1]?.at ?? n;
    return {
      ...change,
      from: begin,
      end,
      contrast: beforeAfter(values, series, { from: begin, at: change.at, to: end }),
    };
  });
};

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
