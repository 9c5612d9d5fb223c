import type { BeforeAfterRow } from '../charts/beforeAfter.ts';
import type { BandRow } from '../charts/lineBand.ts';
import { groups } from './groups.ts';
import { meanInterval } from './meanInterval.ts';
import type { PeopleFree, PeopleFreeTest } from './peopleFree.ts';

export type TrendView = {
  /** The chain first, then each region that may be shown; points from expected by month. */
  lines: { label: string; tests: number; rows: BandRow[] }[];
  /** One range for all lines, so that they can be compared. */
  domain: [number, number];
  /** The last four weeks against the four before, points from expected. */
  change: BeforeAfterRow[];
  changeTests: number;
  /** Tests cut in the last seven days and in the seven before. */
  lastWeek: number;
  weekBefore: number;
};

const points = 100;
const span = 28;
const fewest = 8;

/** The trend with the mix held constant: means of what each test yielded beyond what it should have at any time. */
export const trendView = (input: PeopleFree): TrendView => {
  const shown = regionsShown(input);
  const tests = input.tests.filter((test) => Number.isFinite(test.beyond.withTime));
  const regions = groups(tests, (test) => test.region).filter(([region]) => shown.has(region));
  const lines = [['All stores', tests] as [string, PeopleFreeTest[]], ...regions].map(([label, own]) => ({
    label: label === '' ? 'No region' : label,
    tests: own.length,
    rows: groups(own, (test) => test.month)
      .map(([x, month]) => ({ x, ...pointsOf(month) }))
      .filter((row) => Number.isFinite(row.low)),
  }));
  const change = [['All stores', tests] as [string, PeopleFreeTest[]], ...regions].flatMap(([label, own]) =>
    changeOf(label === '' ? 'No region' : label, own, input.asOfDay),
  );
  const within = (from: number, to: number): number =>
    input.tests.filter((test) => test.cutDay > from && test.cutDay <= to).length;
  return {
    lines,
    domain: domainOf(lines.flatMap((line) => line.rows)),
    change,
    changeTests: within(input.asOfDay - 2 * span, input.asOfDay),
    lastWeek: within(input.asOfDay - 7, input.asOfDay),
    weekBefore: within(input.asOfDay - 14, input.asOfDay - 7),
  };
};

const pointsOf = (tests: readonly PeopleFreeTest[]): { value: number; low: number; high: number } => {
  const { value, low, high } = meanInterval(tests.map((test) => test.beyond.withTime * points));
  return { value, low, high };
};

const changeOf = (label: string, tests: readonly PeopleFreeTest[], asOfDay: number): BeforeAfterRow[] => {
  const after = tests.filter((test) => test.cutDay > asOfDay - span);
  const before = tests.filter((test) => test.cutDay > asOfDay - 2 * span && test.cutDay <= asOfDay - span);
  if (after.length < fewest || before.length < fewest) return [];
  return [
    { label, when: 'before', ...pointsOf(before) },
    { label, when: 'after', ...pointsOf(after) },
  ];
};

/** Regions with enough cutters to be shown; when one alone is too small, the next smallest is left out with it. */
export const regionsShown = ({ stores, chain }: Pick<PeopleFree, 'stores' | 'chain'>): Set<string> => {
  const sizes = groups(stores, (store) => store.region)
    .map(([region, own]) => ({ region, cutters: own.reduce((sum, store) => sum + store.cutters, 0) }))
    .sort((a, b) => a.cutters - b.cutters);
  const small = sizes.filter((row) => row.cutters < chain.privacy.minimum_group).length;
  return new Set(sizes.slice(small === 1 ? 2 : small).map((row) => row.region));
};

const domainOf = (rows: readonly BandRow[]): [number, number] => {
  let [low, high] = [0, 0];
  for (const row of rows) {
    low = Math.min(low, row.low);
    high = Math.max(high, row.high);
  }
  const step = 0.5;
  return [Math.floor(low / step) * step, Math.max(step, Math.ceil(high / step) * step)];
};
