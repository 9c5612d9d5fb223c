import { classNames, skillShape } from './compositions.ts';
import type { DrawnPiece } from './drawPieces.ts';
import type { Draws } from './seededDraws.ts';
import type { SimSheet, SimTest } from './simulated.ts';
import type { Settings } from './variants.ts';

/** Cuts and weighs one piece: true yields, what people really moved in it, and the sheet as the store's scale shows it. */
export const weighTest = (
  piece: DrawnPiece,
  {
    settings,
    shifts,
    draws,
  }: {
    settings: Settings;
    shifts: { cutter: Float64Array; store: Float64Array };
    draws: Draws;
  },
): Omit<SimTest, 'testId'> => {
  const { noise, ...rest } = piece;
  const alone = noise.map((value, k) => value + piece.sharedSkill * (skillShape[k] as number));
  const plus = (...added: Float64Array[]): Float64Array =>
    possibleYields(
      piece,
      alone.map((value, k) => added.reduce((sum, own) => sum + (own[k] as number), value)),
    );
  const yields = plus(shifts.cutter, shifts.store);
  const moved = (without: Float64Array): Float64Array =>
    yields.map((value, k) => 100 * (value - (without[k] as number)));
  const sheet = sheetOf(piece, yields, { settings, draws });
  return {
    ...rest,
    yields,
    cutterShift: moved(plus(shifts.store)),
    storeShift: moved(plus(shifts.cutter)),
    label: 'good',
    ...sheet,
    asWeighed: sheet,
  };
};

/** The weights as the store's scale shows them: received with its purge when weighed in the bag, then every output. */
const sheetOf = (
  { store, supplier, item, drainedLb }: DrawnPiece,
  yields: Float64Array,
  { settings, draws }: { settings: Settings; draws: Draws },
): SimSheet => {
  const error = settings.weighingError * draws.normal();
  const purge = drainedLb * supplier.purge * draws.between(0.7, 1.3);
  const division = store.scaleDivisionLb;
  return {
    receivedLb: onScale((drainedLb + (store.weighed === 'in-bag' ? purge : 0)) * (1 + error), division),
    purgeLb: onScale(purge, 0.01),
    lines: classNames.flatMap((name, k) =>
      name === 'unaccounted' || (name === 'bone' && item.base.bone === 0)
        ? []
        : [{ name, lb: onScale(drainedLb * (yields[k] as number), division) }],
    ),
  };
};

const leastShare = 0.002;

/** Shares of drained weight by class: no weighed line falls below 0.2 %, main cut gives what is missing. */
const possibleYields = ({ item }: DrawnPiece, points: Float64Array): Float64Array => {
  const yields = Float64Array.from(classNames, (name, k) => item.base[name] + (points[k] as number) / 100);
  let given = 0;
  for (const [k, name] of classNames.entries()) {
    if (name === 'main_cut' || name === 'unaccounted') continue;
    const least = name === 'bone' && item.base.bone === 0 ? 0 : leastShare;
    const missing = Math.max(0, least - (yields[k] as number));
    yields[k] = (yields[k] as number) + missing;
    given += missing;
  }
  yields[0] = (yields[0] as number) - given;
  return yields;
};

/** Nearest division of the scale, never negative. */
export const onScale = (lb: number, division: number): number =>
  Math.round(Math.max(0, lb) / division) * division;
