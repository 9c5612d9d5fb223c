/** What was once told is told until its chance falls below this (raised at the chain's own chance). */
export const clearedBelow = 0.7;
/** What is resolved is told for this many days. */
export const resolvedDays = 28;
