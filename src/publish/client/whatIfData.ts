import type { OfferWorth } from '../../money/offerAnswer.ts';

/** What the page hands to the what-if: published figures per billed kg, null where not known. */
export type WhatIfData = {
  language: string;
  currency: string;
  unit: string;
  kgPerUnit: number;
  /** Currency an hour; null = not set. */
  laborPerHour: number | null;
  items: {
    name: string;
    offers: ({ parts: string[]; deliveredPerKg: number | null } & {
      [Key in keyof OfferWorth]: number | null;
    })[];
    covariance: number[][];
  }[];
};
