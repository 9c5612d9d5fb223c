/**
 * Share of an item that can be cut a special way before more of its main outputs come out than sell: weekly demand for
 * them over what all of the item would give. demandKg, volumeKg per week; mainOfBilled kg of main outputs per billed kg.
 * 0-1; NaN (unknown) when demand or volume is not given.
 */
export const demandShare = (demandKg: number, volumeKg: number, mainOfBilled: number): number =>
  demandKg >= 0 && volumeKg > 0 && mainOfBilled > 0
    ? Math.min(1, demandKg / (volumeKg * mainOfBilled))
    : Number.NaN;
