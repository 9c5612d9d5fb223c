import type { MeasuredTest } from '../../measure/measured.ts';
import { fewestTests } from './boughtTests.ts';
import type { OfferName } from './offer.ts';

/** Boxes that say what a range weighs, and whose they are: offers of the same range and owner share them. */
export type Boxes = { tests: MeasuredTest[]; owner: string };

/** Boxes sold in the range: as bought where stores say so, else as weighed; the supplier's own where there are 8. */
export const boxesOf = (name: OfferName, tests: readonly MeasuredTest[]): Boxes => {
  const bought = tests.filter((test) => test.boughtClass === name.weightClass);
  const weighed = tests.filter((test) => test.weightClass === name.weightClass);
  const own = (list: MeasuredTest[]): MeasuredTest[] =>
    list.filter((test) => test.supplier === name.supplier);
  const found = [
    { tests: own(bought), owner: name.supplier },
    { tests: bought, owner: '' },
    { tests: own(weighed), owner: name.supplier },
  ].find((boxes) => boxes.tests.length >= fewestTests);
  return found ?? { tests: weighed, owner: '' };
};

/** Mean piece weight of boxes, kg; NaN without any. */
export const meanPieceKg = (tests: readonly MeasuredTest[]): number =>
  tests.reduce((sum, test) => sum + test.drainedKg, 0) /
  tests.reduce((sum, test) => sum + test.drainedKg / test.meanPieceKg, 0);
