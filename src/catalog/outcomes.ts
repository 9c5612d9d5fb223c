/** Classes of output that sell. */
export const soldClasses = ['main_cut', 'other_cut', 'lean_trim'] as const;
/** Classes that do not sell. */
export const lostClasses = ['fat', 'bone', 'waste', 'unaccounted'] as const;
/** All of them: together what lay on the block. */
export const classOutcomes = [...soldClasses, ...lostClasses] as const;

export type ClassOutcome = (typeof classOutcomes)[number];

/** What each class is called, in the order of the trade. */
export const classWords: Readonly<Record<ClassOutcome, string>> = {
  main_cut: 'main cut',
  other_cut: 'other cuts',
  lean_trim: 'lean trim',
  fat: 'fat',
  bone: 'bone',
  waste: 'waste',
  unaccounted: 'unaccounted',
};

/** The measured column of each class: its share of drained weight. */
export const classYields = {
  main_cut: 'mainCutYield',
  other_cut: 'otherCutYield',
  lean_trim: 'leanTrimYield',
  fat: 'fatYield',
  bone: 'boneYield',
  waste: 'wasteYield',
  unaccounted: 'unaccountedYield',
} as const satisfies Record<ClassOutcome, string>;

/** The outcomes that are modeled, in points of drained weight; `value` in currency per drained kg. */
export const outcomes = ['saleable', ...classOutcomes, 'value'] as const;
export type Outcome = (typeof outcomes)[number];
