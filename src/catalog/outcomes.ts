/** Classes of output that sell, and those that do not: together all that lay on the block. */
export const soldClasses = ['main_cut', 'other_cut', 'lean_trim'] as const;
export const lostClasses = ['fat', 'bone', 'waste', 'unaccounted'] as const;
export const classOutcomes = [...soldClasses, ...lostClasses] as const;

/** The outcomes that are modeled, in points of drained weight; `value` in currency per drained kg. */
export const outcomes = ['saleable', ...classOutcomes, 'value'] as const;
export type Outcome = (typeof outcomes)[number];
