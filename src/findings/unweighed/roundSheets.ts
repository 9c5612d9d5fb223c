import { mean } from 'simple-statistics';
import { kilogramsPer } from '../../units/weight.ts';
import { countEvidence } from './eValues.ts';
import { roomShares, type Strays, strays } from './ownWay.ts';
import { coarserThanScales } from './scaleSteps.ts';
import type { Sheet, Sheets } from './sheets.ts';

/** Grids that sheets may be written in, in divisions of the scale; halves, as quarters of a pound are no multiples of 0.02 or 0.1 lb. */
const grids = [2, 2.5, 4, 5, 10, 12.5, 20, 25, 50, 100];
const fewestLines = 3;
/** Sheets whose lines chance brings onto a grid more often than this tell nothing. */
const mostByChance = 0.1;
/** A scale of one's own, 5 times as coarse as the coarsest, kg: what lies on coarser grids throughout no scale has shown. */
const coarserThanOwn = 0.26;
/** Round sheets that anybody is allowed, and how many times the others' share of them. */
const allowed = 0.005;
const ownWays = 1.5;

/**
 * e-values of too many sheets in weights rounder than the scale shows: `fine`, which another scale may have shown, and `coarse`, which
 * none shows; places of these sheets. NaN: cannot be told.
 */
export type RoundSheets = { fine: number; coarse: number; places: number[] };

/**
 * Sheets all of whose lines lie on a grid coarser than the store's scale. A scale of one's own, or another one from some day
 * on, puts all on it: those count that neither explains (`strays`), or, far coarser than any scale, all where the room does
 * otherwise. Held against the others on such a scale, the custom of the room, and what comes by chance from every finer grid.
 * `step`: division of each store's scale (`scaleSteps`). By code of the cutter.
 */
export const roundSheets = (all: Sheets, step: readonly number[]): RoundSheets[] => {
  const scale = all.stores.map((_, store) => ({
    step: step[store] as number,
    kg: (step[store] as number) * kilogramsPer(all.units[store] as string),
  }));
  const byGrid = grids.map((grid) => ({ grid, ...onGrid(all, scale, grid) }));
  return all.ofCutter.map((own, cutter): RoundSheets => {
    const { kg } = scale[(all.sheets[own[own.length - 1] as number] as Sheet).store] as Scale;
    const tried = byGrid.flatMap((one) => {
      const { e, places } = one.of(cutter, one.grid * kg);
      if (Number.isNaN(e)) return [];
      const finer = byGrid.filter(({ grid }) => grid < one.grid && Number.isInteger(one.grid / grid));
      const byChance = finer.map((other) =>
        beyond(all, own, { one, other, isScale: other.grid * kg < coarserThanScales }),
      );
      return [{ places, isCoarse: one.grid * kg >= coarserThanScales, e: Math.min(e, ...byChance) }];
    });
    const meanOf = (some: typeof tried): number =>
      some.length === 0 ? Number.NaN : mean(some.map(({ e }) => e));
    return {
      fine: meanOf(tried.filter(({ isCoarse }) => !isCoarse)),
      coarse: meanOf(tried.filter(({ isCoarse }) => isCoarse)),
      places: tried.reduce((best, next) => (next.e > best.e ? next : best), { e: 0, places: [] as number[] })
        .places,
    };
  });
};

/** Division of a store's scale in the sender's unit and in kg. */
type Scale = { step: number; kg: number };
type OnGrid = {
  grid: number;
  /** By place of a sheet. */
  isOn: readonly boolean[];
  of: (cutter: number, gridKg: number) => { e: number; places: number[] };
};

const onGrid = (all: Sheets, scale: readonly Scale[], grid: number): Omit<OnGrid, 'grid'> => {
  const stepAt = ({ store }: Sheet): number => (scale[store] as Scale).step;
  const isOn = all.sheets.map((sheet) => isOnGrid(sheet.lines, grid * stepAt(sheet)));
  const chance = all.sheets.map(({ lines }) => chanceOf(grid, lines.length));
  const marks = all.sheets.map((sheet, place) =>
    Number.isNaN(stepAt(sheet)) ||
    sheet.lines.length < fewestLines ||
    (chance[place] as number) > mostByChance
      ? undefined
      : isOn[place],
  );
  const known = all.ofCutter.map((own) => own.filter((place) => marks[place] !== undefined));
  const stray = known.map((own): Strays => {
    const { places, among } = strays(own.map((place) => isOn[place] === true));
    return { places: places.map((k) => own[k] as number), among };
  });
  const rooms = roomShares(all, marks);
  const isStray = new Set(stray.flatMap(({ places }) => places));
  const customs = roomShares(
    all,
    marks.map((mark, place) => mark && !isStray.has(place)),
  );
  const usual = usualShares(
    stray.map(({ places }, cutter) => places.length / Math.max(1, (known[cutter] as number[]).length)),
    all.ofCutter.map((own) => stepAt(all.sheets[own[own.length - 1] as number] as Sheet)),
  );
  return {
    isOn,
    of: (cutter, gridKg) => {
      const own = known[cutter] as number[];
      if (own.length === 0) return { e: Number.NaN, places: [] };
      const { share: full, mates } = rooms[cutter] as { share: number; mates: number };
      // what one mate does now and then is no custom, and another scale only where one may show it
      const room = gridKg >= coarserThanScales && mates === 1 ? (customs[cutter]?.share as number) : full;
      const isBeyond = gridKg >= coarserThanOwn && !Number.isNaN(room);
      const { places, among } = isBeyond
        ? { places: own.filter((place) => isOn[place] === true), among: own.length }
        : (stray[cutter] as Strays);
      const share = ownWays * Math.max(usual(cutter), Number.isNaN(room) ? 0 : room);
      const single = lineShare(
        own.map((place) => all.sheets[place] as Sheet),
        (sheet) => grid * stepAt(sheet),
      );
      const byChance = mean(
        own.map((place) => {
          const { length } = (all.sheets[place] as Sheet).lines;
          // a mean to the power of n is at least the product of n shares
          return Math.max(chance[place] as number, isBeyond ? 0 : single ** length);
        }),
      );
      return { e: countEvidence(places.length, among, allowed + Math.max(byChance, share)), places };
    },
  };
};

/** Share of single lines on a grid: who rounds some lines by hand has whole sheets on it as often as these meet. */
const lineShare = (sheets: readonly Sheet[], sizeOf: (sheet: Sheet) => number): number => {
  let [on, all] = [0, 0];
  for (const sheet of sheets) {
    on += sheet.lines.filter((line) => isOnGrid([line], sizeOf(sheet))).length;
    all += sheet.lines.length;
  }
  return on / all;
};

const isOnGrid = (lines: readonly number[], size: number): boolean =>
  lines.every((line) => Math.abs(line / size - Math.round(line / size)) < 1e-3);

/** The coarsest grid that all lines lie on, in divisions of `step`. */
export const gridOf = (lines: readonly number[], step: number): number =>
  grids.findLast((grid) => isOnGrid(lines, grid * step)) ?? 1;

/** How seldom all of so many lines lie on a grid that many times as coarse. */
const chanceOf = (times: number, lines: number): number =>
  (1 / (Number.isInteger(times) ? times : 2 * times)) ** lines;

/**
 * e-value of a cutter's sheets on a grid among those on a finer one, which may be a scale's: one that a scale may have (`isScale`), or that
 * most of the sheets lie on. Infinity where it is none.
 */
const beyond = (
  { sheets }: Sheets,
  own: readonly number[],
  { one, other, isScale }: { one: OnGrid; other: OnGrid; isScale: boolean },
): number => {
  const base = own.filter(
    (place) => other.isOn[place] === true && (sheets[place] as Sheet).lines.length >= fewestLines,
  );
  if (base.length === 0 || !(isScale || base.length > own.length / 2)) return Number.POSITIVE_INFINITY;
  const chance = mean(
    base.map((place) => chanceOf(one.grid / other.grid, (sheets[place] as Sheet).lines.length)),
  );
  return countEvidence(
    base.filter((place) => one.isOn[place] === true).length,
    base.length,
    allowed + chance,
  );
};

/** Mean share of the other cutters on scales with the same step, without the upper fifth, so that those who write sheets do not set the measure. */
const usualShares = (shares: readonly number[], stepsOf: readonly number[]): ((cutter: number) => number) => {
  const ofStep = new Map<number, number[]>();
  for (const [cutter, step] of stepsOf.entries()) {
    const some = ofStep.get(step);
    if (some === undefined) ofStep.set(step, [cutter]);
    else some.push(cutter);
  }
  return (cutter) => {
    const others = (ofStep.get(stepsOf[cutter] as number) ?? [])
      .filter((other) => other !== cutter)
      .map((other) => shares[other] as number)
      .sort((a, b) => a - b);
    const usual = others.slice(0, Math.ceil(0.8 * others.length));
    return usual.length === 0 ? 0 : mean(usual);
  };
};
