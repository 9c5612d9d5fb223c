import { shiftOf, skillShape } from './compositions.ts';
import type { Draws } from './seededDraws.ts';
import type { SimCutter, SimItem, SimStore, SimSupplier } from './simulated.ts';
import type { Settings } from './variants.ts';

/** A received piece (or box) on a cutter's block, with all that moves its yields but people; points by class. */
export type DrawnPiece = {
  cutter: SimCutter;
  store: SimStore;
  item: SimItem;
  day: number;
  grade: string;
  supplier: SimSupplier;
  lot: string;
  pieces: number;
  drainedLb: number;
  reason: string;
  /** Points of saleable by grade, weight, month, supplier and lot. */
  sharedSkill: number;
  /** Chance in this one test, points by class. */
  noise: Float64Array;
};

export type Drawing = {
  settings: Settings;
  items: readonly SimItem[];
  monthEffect: (day: number) => number;
  lotEffect: (lot: string) => number;
  firstDay: number;
  days: number;
};

/** All tests of the chain: each cutter's number by pace, spread evenly over the days since the cutter began. */
export const drawPieces = (
  drawing: Drawing & { cutters: readonly SimCutter[] },
  draws: Draws,
): DrawnPiece[] => {
  const { settings, items, cutters, firstDay, days } = drawing;
  const totalPace = cutters.reduce((sum, cutter) => sum + cutter.pace, 0);
  return cutters.flatMap((cutter) => {
    const from = Math.max(0, cutter.sinceDay - firstDay);
    const count = Math.round(((settings.tests * cutter.pace) / totalPace) * (1 - from / days));
    return Array.from({ length: count }, () =>
      drawPiece(
        {
          cutter,
          item: draws.pick(items),
          day: firstDay + from + Math.floor(draws.uniform() * (days - from)),
          reason: draws.chance(0.1) ? 'visit' : 'routine',
        },
        drawing,
        draws,
      ),
    );
  });
};

export const drawPiece = (
  { cutter, item, day, reason }: { cutter: SimCutter; item: SimItem; day: number; reason: string },
  { settings, monthEffect, lotEffect, firstDay }: Drawing,
  draws: Draws,
): DrawnPiece => {
  const store = cutter.second !== undefined && draws.chance(0.4) ? cutter.second : cutter.home;
  const grade = draws.chance(store.selectShare) ? 'Select' : draws.chance(0.85) ? 'Choice' : 'Prime';
  const supplier = draws.pick(store.suppliers);
  const pieces = draws.pick(settings.pieces);
  const weight = draws.uniform();
  const pieceLb = item.typicalLb * (0.8 + 0.4 * weight + store.heavier);
  const lot = `${supplier.supplier.slice(-1)}-${Math.floor((day - firstDay) / 7)}-${item.item}`;
  return {
    cutter,
    store,
    item,
    day,
    grade,
    supplier,
    lot,
    pieces,
    drainedLb: pieceLb * pieces,
    reason,
    sharedSkill:
      (item.grades[grade] as number) +
      settings.curve(weight + store.heavier / 0.4) +
      monthEffect(day) +
      supplier.skill +
      lotEffect(lot),
    noise: noiseOf(settings, pieces, draws),
  };
};

/** Chance of one test: heavy-tailed in how much is sold, and how main cut and trim, fat and loss split. */
const noiseOf = (settings: Settings, pieces: number, draws: Draws): Float64Array => {
  const scale = Math.sqrt(settings.fixedNoise + (1 - settings.fixedNoise) / pieces);
  const sold = settings.residualSd * scale * draws.heavy();
  const trim = 0.8 * scale * draws.normal();
  const cap = 0.5 * scale * draws.normal();
  const loss = 0.25 * scale * draws.normal();
  const split = shiftOf({
    main_cut: trim + cap,
    lean_trim: -trim,
    other_cut: -cap,
    fat: -loss,
    unaccounted: loss,
  });
  return split.map((value, k) => value + sold * (skillShape[k] as number));
};
