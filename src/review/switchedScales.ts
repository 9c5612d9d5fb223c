/** One way in which all weights of a sheet may be wrong. */
export type SheetSlip = {
  /** Whose share it counts for, such as 'lb as kg'; '' = a slip whose share is not asked. */
  key: string;
  /** Prior chance of the slip for a share of 1. */
  prior: number;
  /** What the store's other sheets add to the share. */
  habit: number;
  /** How much likelier the piece is of the size it has without the slip. */
  sizeOdds: number;
};

/** Before a night says otherwise a scale is switched a quarter as often as the table of mistakes says: our choice, worth one mistake. */
const usual = 0.25;
const worth = 1;
const rounds = 20;
/** A sheet on which a slip is less likely than this adds nothing to its share. */
const least = 1e-7;

/**
 * How often sheets of a night are written in another unit than their store's, by key, in terms of each slip's prior: by EM over
 * all sheets (a mixture of true sheets and slips whose densities are known; Dempster, Laird & Rubin 1977 JRSS B 39:1), drawn towards
 * `usual` by a gamma prior. One entry of `sheets` a sheet.
 */
export const switchedScales = (sheets: readonly (readonly SheetSlip[])[]): ((key: string) => number) => {
  const possible = new Map<string, number>();
  for (const { key, prior } of sheets.flat()) possible.set(key, (possible.get(key) ?? 0) + prior);
  const told = sheets.filter((slips) => slips.some(({ prior, sizeOdds }) => prior * sizeOdds > least));
  let shares = new Map<string, number>();
  const shareOf = (key: string): number => shares.get(key) ?? usual;
  for (let round = 0; round < rounds; round++) {
    const made = slipsMade(told, shareOf);
    shares = new Map(
      [...possible].map(([key, count]) => [key, ((made.get(key) ?? 0) + worth) / (count + worth / usual)]),
    );
  }
  return shareOf;
};

/** Slips by key that are expected to have been made, those by habit left out. */
const slipsMade = (
  sheets: readonly (readonly SheetSlip[])[],
  shareOf: (key: string) => number,
): Map<string, number> => {
  const made = new Map<string, number>();
  for (const slips of sheets) {
    let total = 1;
    for (const { key, prior, habit, sizeOdds } of slips)
      total += prior * (key === '' ? 1 : shareOf(key) + habit) * sizeOdds;
    for (const { key, prior, sizeOdds } of slips)
      made.set(key, (made.get(key) ?? 0) + (prior * shareOf(key) * sizeOdds) / total);
  }
  return made;
};
