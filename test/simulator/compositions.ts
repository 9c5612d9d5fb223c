/** Where the weight of a piece goes, and where one point of skill or of a habit moves it. Invented numbers. */
export const classNames = [
  'main_cut',
  'other_cut',
  'lean_trim',
  'fat',
  'bone',
  'waste',
  'unaccounted',
] as const;
export type ClassName = (typeof classNames)[number];
export type Shift = Record<ClassName, number>;

const none: Shift = {
  main_cut: 0,
  other_cut: 0,
  lean_trim: 0,
  fat: 0,
  bone: 0,
  waste: 0,
  unaccounted: 0,
};
export const shiftOf = (parts: Partial<Shift>): Float64Array =>
  Float64Array.from(classNames, (name) => ({ ...none, ...parts })[name]);

/** One point more skill: one point more saleable, most of it main cut that no longer goes to fat or is lost. */
export const skillShape = shiftOf({
  main_cut: 0.85,
  other_cut: 0.05,
  lean_trim: 0.1,
  fat: -0.88,
  waste: -0.02,
  unaccounted: -0.1,
});

/** One point of each habit; `outcome` is the class that it is named on, `kinds` the findings that would be right. */
export const habits = {
  'main-to-trim': {
    shape: shiftOf({ main_cut: -1, lean_trim: 1 }),
    outcome: 'main_cut',
    kinds: ['over-trimming'],
  },
  'main-to-fat': { shape: shiftOf({ main_cut: -1, fat: 1 }), outcome: 'main_cut', kinds: ['over-trimming'] },
  'missing-product': {
    shape: shiftOf({ main_cut: -1, unaccounted: 1 }),
    outcome: 'unaccounted',
    kinds: ['missing-product'],
  },
  'under-trimming': {
    shape: shiftOf({ main_cut: 1, fat: -1 }),
    outcome: 'main_cut',
    kinds: ['under-trimming'],
  },
  'unweighed-trim': {
    shape: shiftOf({ lean_trim: -1, unaccounted: 1 }),
    outcome: 'unaccounted',
    kinds: ['unweighed-trim'],
  },
} as const satisfies Record<string, { shape: Float64Array; outcome: ClassName; kinds: readonly string[] }>;
export type HabitName = keyof typeof habits;
export const habitNames = Object.keys(habits) as HabitName[];

/** Regular price per lb by class; what nobody weighed has none. */
export const pricesPerLb: Shift = {
  main_cut: 15.9,
  other_cut: 8.9,
  lean_trim: 4.9,
  fat: 0.35,
  bone: 0.25,
  waste: 0,
  unaccounted: 0,
};

/** Points of saleable in a shift by class: main cut + other cut + lean trim. */
export const saleableOf = (shift: ArrayLike<number>): number =>
  (shift[0] as number) + (shift[1] as number) + (shift[2] as number);

/** Money of a shift, per lb of drained weight. */
export const moneyOf = (shift: ArrayLike<number>): number =>
  classNames.reduce((sum, name, k) => sum + ((shift[k] as number) / 100) * pricesPerLb[name], 0);
