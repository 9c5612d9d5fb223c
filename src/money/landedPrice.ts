/** What a supplier asks, per billed kg: basis `delivered` or `FOB` (freight comes on top). */
export type Asked = { pricePerKg: number; basis: string; freightPerKg: number };

/**
 * Price per billed kg at the store's door: FOB adds freight, delivered includes it. NaN when it is FOB and the freight is
 * not known (NaN).
 */
export const deliveredPrice = ({ pricePerKg, basis, freightPerKg }: Asked): number =>
  basis === 'FOB' ? pricePerKg + freightPerKg : pricePerKg;

/**
 * Price per kg that lies on the block: the delivered price over the share of billed weight that is left after purge and
 * short weight. usableFraction: drained over billed, 0-1; NaN when it is not above 0.
 */
export const landedPrice = (asked: Asked, usableFraction: number): number =>
  usableFraction > 0 ? deliveredPrice(asked) / usableFraction : Number.NaN;
