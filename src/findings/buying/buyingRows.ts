import type { FindingKindName } from '../../faults/findingKinds.ts';
import type { PriceInterval } from '../../money/indifferencePrice.ts';
import type { OfferWorth } from '../../money/offerAnswer.ts';
import type { BagLossRow } from './bagLosses.ts';
import type { Offer } from './offer.ts';

/** One open quote with what it is expected to leave; money per kg, shares of billed weight. */
export type RankedQuote = {
  supplier: string;
  plant: string;
  item: string;
  spec: string;
  grade: string;
  weightClass: string;
  state: string;
  basis: string;
  pricePerKg: number;
  deliveredPerKg: number;
  landedPerKg: number;
  purgeShare: number;
  shortShare: number;
  costPerSaleableKg: number;
  costLow: number;
  costHigh: number;
  marginPerBilledKg: number;
  marginLow: number;
  marginHigh: number;
  laborPerBilledKg: number;
  marginAfterLaborPerBilledKg: number;
  chanceBest: number;
  tests: number;
  assumed: string;
  missing: string;
  /** What whoever runs the night can enter to mend it; '' where nothing is missing or only tests help. */
  remedy: string;
  validTo: number;
  offer: Offer;
};

/** What one range is worth when another is quoted at a price; all prices per billed kg, delivered. */
export type IndifferenceRow = {
  item: string;
  from: Offer;
  to: Offer;
  priceFromPerKg: number;
  sameMargin: PriceInterval;
  sameDollars: PriceInterval;
  /** Delivered price of an open quote for `to`; NaN when there is none. */
  priceToPerKg: number;
  /** False where minutes are known too rarely: same dollars is then before labor. */
  isLaborKnown: boolean;
  /** Labor rate per hour, and change of the main cut's price per kg, at which the two quotes would be worth the same. */
  turningLaborRate: number;
  turningMainCutPrice: number;
  sentence: string;
  missing: string;
};

/** One weight range of an item and grade: what it gives, at the best quote open for it, and which portions it allows. */
export type RangeRow = {
  item: string;
  spec: string;
  grade: string;
  weightClass: string;
  tests: number;
  pieceKg: number;
  saleable: number;
  low: number;
  high: number;
  mainCut: number;
  mainCutLow: number;
  mainCutHigh: number;
  valuePerBilledKg: number;
  supplier: string;
  deliveredPerKg: number;
  costPerSaleableKg: number;
  costLow: number;
  costHigh: number;
  marginAfterLaborPerBilledKg: number;
  marginLow: number;
  marginHigh: number;
  missing: string;
};

/** What the what-if needs of one item: offers with their worth per billed kg and how their values vary together. */
export type WhatIfItem = {
  item: string;
  name: string;
  offers: (OfferWorth & {
    /** Range, spec, grade, state and supplier; '' where there is none. */
    parts: string[];
    /** Delivered price of the open quote; NaN when there is none. */
    deliveredPerKg: number;
  })[];
  covariance: number[][];
};

/** An expected figure with its 95 % interval; NaN = not known. */
export type Expected = { value: number; low: number; high: number };

/**
 * What pieces of one weight are expected to give per billed kg, by item, spec, grade and supplier ('' = the average one):
 * shares 0-1, value and cost per kg at the regular list; cost at the best open quote of the supplier (of any, for '') for
 * the range that holds the weight.
 */
export type YieldByWeightRow = {
  item: string;
  spec: string;
  grade: string;
  supplier: string;
  tests: number;
  weightKg: number;
  weightClass: string;
  saleable: Expected;
  mainCut: Expected;
  valuePerBilledKg: Expected;
  deliveredPerKg: number;
  costPerSaleableKg: Expected;
  /** What is missing for value and cost; '' when nothing is. */
  missing: string;
};

/** One lot of a supplier and what can be claimed on it: kg (pieces for `out-of-range-pieces`) above what is usual, and its cost. */
export type ClaimLotRow = {
  /** The claim it belongs to. */
  findingId: string;
  kind: FindingKindName;
  supplier: string;
  plant: string;
  lot: string;
  item: string;
  tests: number;
  firstDay: number;
  lastDay: number;
  /** Share of billed weight, or of pieces; 0-1. */
  share: number;
  billedKg: number;
  lostKg: number;
  aboveUsualKg: number;
  pieces: number;
  piecesOutside: number;
  /** What was paid for the kg above usual; NaN where the cost is not known or pieces are claimed. */
  money: number;
};

export type BuyingNight = {
  quotes: RankedQuote[];
  indifference: IndifferenceRow[];
  ranges: RangeRow[];
  whatIf: WhatIfItem[];
  bagLosses: BagLossRow[];
  byWeight: YieldByWeightRow[];
};
