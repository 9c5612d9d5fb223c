/**
 * Retail price at a margin on sales: cost / (1 - margin). cost per unit; margin a fraction below 1, else NaN.
 * Source: domain facts E10 (study notes, secondary copy).
 */
export const priceAtMargin = (cost: number, margin: number): number =>
  margin < 1 ? cost / (1 - margin) : Number.NaN;

/** Retail price at a markup on cost: cost x (1 + markup). markup a fraction. Source: domain facts E10 (secondary copy). */
export const priceAtMarkup = (cost: number, markup: number): number => cost * (1 + markup);

/**
 * Price of one unit taken home when a piece is paid by a larger weight: price / share taken home. NaN when the share is
 * not above 0. Source: domain facts E11 (extension bulletin on beef by the side, read).
 */
export const takeHomePrice = (price: number, shareTakenHome: number): number =>
  shareTakenHome > 0 ? price / shareTakenHome : Number.NaN;
