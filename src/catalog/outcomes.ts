/** Classes of output that sell. */
export const soldClasses = ['main_cut', 'other_cut', 'lean_trim'] as const;
/** Classes that do not sell. */
export const lostClasses = ['fat', 'bone', 'waste', 'unaccounted'] as const;
/** All of them: together what lay on the block. */
export const classOutcomes = [...soldClasses, ...lostClasses] as const;

/** The outcomes that are modeled, in points of drained weight; `value` in currency per drained kg. */
export const outcomes = ['saleable', ...classOutcomes, 'value'] as const;
export type Outcome = (typeof outcomes)[number];
