/** The outcomes that are modeled, in points of drained weight; `value` in currency per drained kg. */
export const outcomes = [
  'saleable',
  'main_cut',
  'other_cut',
  'lean_trim',
  'fat',
  'bone',
  'waste',
  'unaccounted',
  'value',
] as const;
export type Outcome = (typeof outcomes)[number];
