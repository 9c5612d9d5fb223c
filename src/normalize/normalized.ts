import type { ColumnTable } from 'arquero';
import type { RefusedFile } from '../ingest/ingested.ts';
import type { PriceEntry } from '../money/priceList.ts';

/**
 * Columns of the normalized tests table, one row a test, sorted by (store, testId).
 * Weights kg, money per kg, days are whole days since 1970-01-01. Missing: NaN in numbers, '' in texts.
 */
export type NormalizedTest = {
  store: string;
  testId: string;
  cutter: string;
  cutDay: number;
  item: string;
  spec: string;
  treatment: string;
  grade: string;
  supplier: string;
  plant: string;
  lot: string;
  packDay: number;
  leaker: string;
  boughtClass: string;
  billedKg: number;
  receivedKg: number;
  weighed: string;
  purgeKg: number;
  addedKg: number;
  piecesIn: number;
  unit: string;
  unitCostPerKg: number;
  method: string;
  minutes: number;
  fatCoverIn: number;
  reason: string;
  witness: string;
  note: string;
  revisedDay: number;
  sourceFile: string;
  sourceLine: number;
  /** Night on which the file that brings it was first seen; the lake adds it. */
  seenDay?: number;
};

/** Columns of the normalized outputs table: one row a weighed line. outputKg NaN = not weighed, 0 = none. */
export type NormalizedOutput = {
  store: string;
  testId: string;
  output: string;
  outputClass: string;
  outputKg: number;
  weightAsSent: number;
  pieces: number;
  sourceLine: number;
};

/** Columns of the portions table: single pieces weighed, sorted by (store, testId, output, piece). */
export type NormalizedPortion = {
  store: string;
  testId: string;
  output: string;
  piece: string;
  weightKg: number;
  thicknessIn: number;
  sourceFile: string;
  sourceLine: number;
};

/** Reference tables after normalization; prices per kg; days since 1970-01-01; open ends NaN. */
export type PriceRow = PriceEntry;
export type QuoteRow = {
  supplier: string;
  plant: string;
  item: string;
  spec: string;
  grade: string;
  weightClass: string;
  pricePerKg: number;
  basis: string;
  freightPerKg: number;
  state: string;
  validFrom: number;
  validTo: number;
};
export type StoreRow = {
  store: string;
  name: string;
  region: string;
  scaleDivisionKg: number;
  testsOwedPerWeek: number;
};
export type VolumeRow = { store: string; item: string; weekOf: number; weightKg: number };
export type CutterRow = { cutter: string; name: string; store: string; since: number };
export type StandardRow = {
  item: string;
  method: string;
  output: string;
  yieldFraction: number;
  validFrom: number;
};
export type CoachingRow = { cutter: string; item: string; habit: string; coachedOn: number; by: string };

export type ReferenceTables = {
  prices: PriceRow[];
  quotes: QuoteRow[];
  stores: StoreRow[];
  volumes: VolumeRow[];
  cutters: CutterRow[];
  standards: StandardRow[];
  coaching: CoachingRow[];
};

export type NormalizedNight = {
  tests: ColumnTable;
  outputs: ColumnTable;
  portions: ColumnTable;
  reference: ReferenceTables;
  /** Files of which no row was taken. */
  refusedFiles?: readonly RefusedFile[];
};
