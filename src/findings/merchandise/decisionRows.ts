/** A book yield that the tests contradict; yields are fractions of drained weight, prices per kg. */
export type StandardChangeRow = {
  item: string;
  method: string;
  output: string;
  book: number;
  measured: number;
  low: number;
  high: number;
  tests: number;
  /** Price of the output at the target margin: as measured, and by the book. */
  priceAtTargetMargin: number;
  priceAtBook: number;
};

/**
 * One way of cutting against another at the same grade and piece weight: money per billed kg after labor at the regular
 * list (before it where labor is not known); gap and interval against the other; yields of drained; prices per kg.
 */
export type MethodRow = {
  item: string;
  spec: string;
  method: string;
  otherMethod: string;
  tests: number;
  saleableYield: number;
  mainCutYield: number;
  valuePerBilledKg: number;
  marginPerBilledKg: number;
  /** Half of the 95 % interval of marginPerBilledKg. */
  marginReach: number;
  gapPerBilledKg: number;
  low: number;
  high: number;
  minutes: number;
  marginPerHour: number;
  hourLow: number;
  hourHigh: number;
  /** Share of the item that can be cut this way before its main outputs no longer sell; NaN = demand or volume unknown. */
  demandShare: number;
  isLaborKnown: boolean;
  /** What labor lacks to be counted, in words; '' where it is known. */
  laborMissing: string;
  adjustedFor: string;
  warning: string;
  output: string;
  pricePerKg: number;
  breakEvenPerKg: number;
  breakEvenWithLaborPerKg: number;
};
