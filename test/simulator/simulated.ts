import type { ClassName, HabitName, Shift } from './compositions.ts';
import type { Settings } from './variants.ts';

/** What was drawn, with its truth. Effects and sizes in points of drained weight, weights in lb, days since 1970-01-01. */
export type SimItem = {
  item: string;
  /** Usual weight of a piece, lb. */
  typicalLb: number;
  base: Shift;
  /** Points lost against Choice. */
  grades: Record<string, number>;
};
export type SimStore = {
  store: string;
  region: string;
  /** Share of Select among its pieces. */
  selectShare: number;
  /** Its pieces are heavier by this share of the usual weight. */
  heavier: number;
  scaleDivisionLb: number;
  weighed: 'in-bag' | 'drained';
  skill: number;
  itemSkill: Record<string, number>;
  suppliers: SimSupplier[];
  /** The whole room has this habit on one item. */
  room: { kind: HabitName; size: number; item: string } | undefined;
  /** From this day on the whole store is off, such as by a new scale. */
  change: { day: number; size: number } | undefined;
  isLone: boolean;
};
export type SimSupplier = { supplier: string; skill: number; purge: number };
export type SimCutter = {
  cutter: string;
  home: SimStore;
  second: SimStore | undefined;
  pace: number;
  sinceDay: number;
  skill: number;
  itemSkill: Record<string, number>;
  habit: { kind: HabitName; size: number; items: string[] } | undefined;
  drift: { day: number; size: number } | undefined;
  /** A beginner: this many points low at first, half of it gone every 60 days. */
  learning: number;
  inventor: boolean;
  coached: SimCoaching | undefined;
};
/** item '' = coached on every item. gain: points won from the day on (0 = nothing changed); curesHabit: the habit ends. */
export type SimCoaching = {
  day: number;
  item: string;
  isControl: boolean;
  gain: number;
  curesHabit: boolean;
};

export type Label =
  | 'good'
  | 'invented'
  | 'copied'
  | 'test-unit'
  | 'received-unit'
  | 'ounces'
  | 'line-unit'
  | 'decimal-line'
  | 'decimal-received'
  | 'swapped'
  | 'line-missing'
  | 'line-twice';

/** One cutting test as it truly was (yields) and as it was sent (lines, lb). */
export type SimTest = {
  testId: string;
  store: SimStore;
  cutter: SimCutter;
  item: SimItem;
  day: number;
  grade: string;
  supplier: SimSupplier;
  lot: string;
  pieces: number;
  reason: string;
  /** True drained weight, lb. */
  drainedLb: number;
  /** Shares of drained weight by class; they add to 1. */
  yields: Float64Array;
  /** What the cutter alone, and the store alone, moved in this test; points by class. */
  cutterShift: Float64Array;
  storeShift: Float64Array;
  /** What the piece, month, supplier and lot moved, without people and chance; points of saleable. */
  sharedSkill: number;
  label: Label;
} & SimSheet & {
    /** The sheet before it was spoiled. */
    asWeighed: SimSheet;
  };

/** The weights on a sheet, lb. */
export type SimSheet = { receivedLb: number; purgeLb: number; lines: { name: ClassName; lb: number }[] };

export type SimChain = {
  seed: number;
  variant: string;
  settings: Settings;
  items: SimItem[];
  stores: SimStore[];
  suppliers: SimSupplier[];
  cutters: SimCutter[];
  /** In order of day, then cutter. */
  tests: SimTest[];
  firstDay: number;
  /** The night to run: the day after the last possible test. */
  asOfDay: number;
};
