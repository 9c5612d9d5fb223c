import type { ColumnTable } from 'arquero';
import type { TestMoney } from '../money/testMoney.ts';
import type { NormalizedOutput, NormalizedTest } from '../normalize/normalized.ts';
import type { ScreenColumns } from '../screen/screened.ts';

/**
 * Columns of the measured tests table: the normalized columns, the screen's verdict and every formula.
 * Yields are fractions of drained weight (0-1), `OfBilled` of billed weight; money in the chain's currency.
 * People money (`valuePerKg`) is at the one regular price list; sales value at the store's price in force.
 */
export type MeasuredTest = NormalizedTest &
  ScreenColumns &
  TestMoney & {
    region: string;
    weightClass: string;
    meanPieceKg: number;
    drainedKg: number;
    purgeFilledKg: number;
    billedFilledKg: number;
    shortKg: number;
    unaccountedKg: number;
    saleableKg: number;
    mainCutKg: number;
    saleableYield: number;
    mainCutYield: number;
    otherCutYield: number;
    leanTrimYield: number;
    fatYield: number;
    boneYield: number;
    wasteYield: number;
    unaccountedYield: number;
    saleableOfBilled: number;
    purgeOfBilled: number;
    unaccountedOfBilled: number;
    valuePerKg: number;
    /** Saleable outputs without a price, joined by ';'. */
    unpriced: string;
  };

export type MeasuredOutput = NormalizedOutput & {
  outputYield: number;
  ofBilled: number;
  pricePerKg: number;
  regularPricePerKg: number;
  salesValue: number;
  costBySalesValue: number;
  costByWeight: number;
};

export type MeasuredNight = { tests: ColumnTable; outputs: ColumnTable };
