/** What each figure is to reach, where something is asked of it; `only` = in these variants. */
export type Bar = { least?: number; most?: number; only?: readonly string[] };

/** Chains whose people differ, and stay as they are. */
const steady = ['base', 'boxes', 'weighing', 'skillgrade', 'curves', 'adweek', 'inventors'];

/** Bars of the model (its coverage, ranking and calibration) and of the findings; sums over 20 seeds are judged. */
export const bars: Record<string, Bar> = {
  'RMSE saleable, points': { most: 0.575, only: ['base'] },
  'Spearman saleable': { least: 0.807, only: ['base'] },
  'habit cells in top k': { least: 0.695, only: ['base'] },
  'coverage saleable': { least: 0.93, most: 0.97, only: steady },
  'coverage n < 8': { least: 0.93, most: 0.97, only: steady },
  'coverage habit cells': { least: 0.88, only: steady },
  'coverage flagged cells': { least: 0.88, only: steady },
  'outside 95 % funnel': { least: 0.03, most: 0.07, only: ['zero'] },
  'closure, largest': { most: 1e-9 },
  'flagged wrongly in room-habit rooms': { most: 0.02 },
  'flagged wrongly alone in a store': { most: 0.02 },
  'person findings right': { least: 0.9, only: steady },
  'large habits shown': { least: 0.8, only: steady },
  'right kind of true hits': { least: 0.85, only: steady },
  'money interval holds the truth': { least: 0.9, most: 0.97, only: ['base'] },
  'squared error over the reference fit': { most: 1, only: ['base'] },
  'new on people per 300 cutters and month': { most: 1, only: ['zero'] },
  'person findings per 300 cutters': { most: 1, only: ['zero'] },
  'persons named wrongly in room-habit rooms': { most: 0.02 },
  'persons named alone in a store': { most: 0.02 },
  'largest move of a person by an ad week': { most: 1e-9 },
  'caught: whole unit, received unit, ounces': { least: 0.99 },
  'caught: decimal shift': { least: 0.95 },
  'caught: swapped': { least: 0.9 },
  'caught: copied': { least: 0.85 },
  'caught: line-unit': { least: 0.8 },
  'good tests set aside': { most: 0.001 },
  'repairable repaired': { least: 0.6 },
  'repairs that are wrong': { most: 0.005 },
  'findings with a wrong repair behind them': { most: 0 },
  'drift found': { least: 0.7, only: ['drift'] },
  'drift date off by more than 4 tests': { most: 0.5, only: ['drift'] },
  'false drift per 300 cutter-months': { most: 1 },
  'improved called improved': { least: 0.8, only: ['coaching'] },
  'no effect called improved': { most: 0.05, only: ['coaching'] },
  'unweighed tests found': { least: 0.5, only: ['inventors'] },
  'honest cutters asked, per 3000': { most: 0 },
  ...Object.fromEntries(
    Array.from({ length: 10 }, (_, tenth) => [
      `chance less seen, ${(tenth / 10).toFixed(1)}-${((tenth + 1) / 10).toFixed(1)}`,
      { least: -0.05, most: 0.05, only: ['base'] },
    ]),
  ),
};

/** 'met', 'missed', or '' where nothing is asked. */
export const verdictOf = (name: string, variant: string, value: number): string => {
  const bar = bars[name];
  if (bar === undefined || Number.isNaN(value) || bar.only?.includes(variant) === false) return '';
  const { least = Number.NEGATIVE_INFINITY, most = Number.POSITIVE_INFINITY } = bar;
  return value >= least && value <= most ? 'met' : 'missed';
};

export const barText = ({ least, most }: Bar): string =>
  [least === undefined ? '' : `>= ${least}`, most === undefined ? '' : `<= ${most}`]
    .filter((text) => text !== '')
    .join(', ');
