import type { RefusedFile } from '../ingest/ingested.ts';
import type { SourceError } from '../money/summedMoney.ts';
import type { BuyingNight, ClaimLotRow } from './buying/buyingRows.ts';
import type { MethodRow, StandardChangeRow } from './merchandise/decisionRows.ts';
import type { MerchandiseNight } from './merchandise/merchandise.ts';

export type { MethodRow, StandardChangeRow } from './merchandise/decisionRows.ts';

/** One thing worth a reader's attention. Effects in points, money in the chain's currency per week. */
export type FindingRow = {
  findingId: string;
  kind: string;
  reader: 'director' | 'trainer' | 'buyer';
  region: string;
  store: string;
  cutter: string;
  item: string;
  outcome: string;
  status: 'new' | 'continuing' | 'resolved';
  since: string;
  effect: number;
  low: number;
  high: number;
  chance: number;
  moneyPerWeek: number;
  moneyLow: number;
  moneyHigh: number;
  tests: number;
  comparedWith: string;
  /** All of it in one line. */
  headline: string;
  /** Whom or what it is about, e.g. a supplier: the headline's beginning. */
  about: string;
  /** What was seen, without whom it is about and without money: to stand beside both. */
  says: string;
  evidence: { store: string; testId: string; sourceFile: string; sourceLine: number }[];
  adjustments: string[];
  step: string;
  /** How moneyPerWeek adds up over stores and items; currency and kg. */
  moneyParts?: {
    store: string;
    item: string;
    kg: number;
    isWeekly: boolean;
    lossPerKg: number;
    money: number;
  }[];
  /** Items that it is told on, where it is one habit on several. */
  items?: string[];
  /** The class that most of a habit's weight went to or came from, or that most of a rise is where it is not the cuts, in words; '' = none stands out. */
  went?: string;
  /** Nothing to cure was seen before the coaching that it tells of. */
  nothingToCure?: true;
  /** Its money is that of the tests seen, as no weekly volume is known. */
  ofTestsSeen?: boolean;
};

/** Money at stake without people: the only findings the director's and buyer's pages may read. */
export type LossRow = {
  region: string;
  store: string;
  item: string;
  habit: string;
  moneyPerWeek: number;
  low: number;
  high: number;
  tests: number;
  cutters: number;
  suppressed: boolean;
  /** The class that most of the weight went to, in words, where it is one. */
  went?: string;
  /** How far each person or room in it may be off; they stand by a number that names nobody. Absent: it errs by itself. */
  errors?: readonly SourceError[];
  /** Its money is that of the tests seen, as no weekly volume is known. */
  ofTestsSeen?: boolean;
};
export type OwedRow = {
  store: string;
  item: string;
  cutter: string;
  tests: number;
  by: string;
  why: string;
  /** Money a week to be expected lost there, which the tests would tell; NaN = not known. */
  atStake: number;
};
export type StoreStatusRow = {
  store: string;
  name: string;
  region: string;
  /** ISO day of the last cut. */
  lastTest: string;
  /** ISO night on which the last of its tests in force were first there; '' where only the lake's first night has any. */
  lastSent: string;
  tests: number;
  held: number;
  cutters: number;
  silent: boolean;
  /** Files refused whole that were first there within the days allowed, whatever else came. */
  refusedFiles: number;
  /** No test cut lately, but files that were refused whole: it sends, and is not silent. */
  sentButRefused: boolean;
  /** No test cut lately, but older ones were sent lately. */
  sentButOld: boolean;
};

/**
 * What followed a coaching (scope event), or all of a cutter, an item or the chain together. Levels and gains in points of
 * drained weight, gain > 0 = better; `expectedAfter` is the shrunken level before: what no effect would look like.
 */
export type CoachingChangeRow = {
  scope: 'event' | 'cutter' | 'item' | 'chain';
  cutter: string;
  item: string;
  habit: string;
  coachedOn: string;
  by: string;
  outcome: string;
  events: number;
  testsBefore: number;
  testsAfter: number;
  rawBefore: number;
  expectedAfter: number;
  after: number;
  gain: number;
  low: number;
  high: number;
  chance: number;
  verdict: string;
  testsNeeded: number;
  habitNow: string;
  improved: number;
};
export type FoundNight = {
  claimLots: ClaimLotRow[];
  coaching: CoachingChangeRow[];
  findings: FindingRow[];
  losses: LossRow[];
  owed: OwedRow[];
  standards: StandardChangeRow[];
  stores: StoreStatusRow[];
  /** Files refused whole within the days allowed; their stores also by their paths where the files tell none. */
  refused: RefusedFile[];
  methods: MethodRow[];
  buying: BuyingNight;
  merchandise: MerchandiseNight;
};
