/** What a review found out about one test, for its words; weights are texts with their unit. */
export type CauseFact = {
  /** The line it is about, or 'received weight', 'purge'; how many of a copy's lines repeat, such as '4 of 5'. */
  line: string;
  /** The second line of a swap or of a repeated weight; another test's id for a copy. */
  other: string;
  sent: string;
  likely: string;
  unit: string;
  chance: string;
};
export type CauseWording = {
  reason:
    | 'unit-suspect'
    | 'decimal-suspect'
    | 'swapped-lines'
    | 'line-missing'
    | 'repeated-weights'
    | 'duplicate-test'
    | 'mass-balance'
    | 'unusual-composition';
  /** The likely cause, and what to weigh again. */
  says: (fact: CauseFact) => string;
};

/** Likely causes of tests that cannot be true, in plain words. The reason is the code in tests.csv. */
export const reviewCauses = {
  'test-unit': {
    reason: 'unit-suspect',
    says: (f) =>
      `All weights read as if written in ${f.unit} (${f.chance}): the piece then came in at ${f.likely}, not ${f.sent}. Check the unit on the sheet.`,
  },
  'test-decimal': {
    reason: 'decimal-suspect',
    says: (f) =>
      `The decimal point is off in all weights (${f.chance}): the piece came in at ${f.likely}, not ${f.sent}. Check the sheet.`,
  },
  'received-unit': {
    reason: 'unit-suspect',
    says: (f) =>
      `The received weight reads as if written in ${f.unit} (${f.chance}): ${f.likely}, not ${f.sent}. Check the unit, weigh the next piece before the bag is opened.`,
  },
  'outputs-unit': {
    reason: 'unit-suspect',
    says: (f) =>
      `All output lines read as if written in ${f.unit} (${f.chance}), the received weight does not. Check the unit of the cutting-room scale.`,
  },
  'received-decimal': {
    reason: 'decimal-suspect',
    says: (f) =>
      `The decimal point of the received weight is off (${f.chance}): ${f.likely}, not ${f.sent}. Check the sheet.`,
  },
  'purge-decimal': {
    reason: 'decimal-suspect',
    says: (f) =>
      `The decimal point of the purge is off (${f.chance}): ${f.likely}, not ${f.sent}. Check the sheet.`,
  },
  'line-unit': {
    reason: 'unit-suspect',
    says: (f) =>
      `${f.line} reads as if written in ${f.unit} (${f.chance}): ${f.likely}, not ${f.sent}. Check the unit, weigh it again if it is still there.`,
  },
  'line-decimal': {
    reason: 'decimal-suspect',
    says: (f) =>
      `The decimal point of ${f.line} is off (${f.chance}): ${f.likely}, not ${f.sent}. Check the sheet.`,
  },
  'lines-swapped': {
    reason: 'swapped-lines',
    says: (f) =>
      `${f.line} and ${f.other} are written in each other's place (${f.chance}): ${f.line} is ${f.likely}, not ${f.sent}. Check both lines.`,
  },
  'line-moved': {
    reason: 'swapped-lines',
    says: (f) =>
      `The weight of ${f.line}, or a part of it, may stand on the line of ${f.other} (${f.chance}): ${f.sent} is written for ${f.line}, about ${f.likely} is expected. Weigh both again.`,
  },
  'line-left-out': {
    reason: 'line-missing',
    says: (f) =>
      `${f.line} is probably not on the sheet (${f.chance}): about ${f.likely} is missing. Weigh ${f.line}.`,
  },
  'line-twice': {
    reason: 'repeated-weights',
    says: (f) =>
      `${f.line} has the weight of ${f.other}, ${f.sent}: one weight was probably entered twice (${f.chance}); about ${f.likely} is expected. Weigh ${f.line} again.`,
  },
  'line-wrong': {
    reason: 'mass-balance',
    says: (f) =>
      `${f.line} does not fit the rest of the sheet (${f.chance}): ${f.sent} is written, about ${f.likely} is expected. Weigh ${f.line} again.`,
  },
  'received-wrong': {
    reason: 'mass-balance',
    says: (f) =>
      `The received weight does not fit the outputs (${f.chance}): ${f.sent} is written, about ${f.likely} is expected. Check the received weight.`,
  },
  'composition-odd': {
    reason: 'unusual-composition',
    says: (f) =>
      `The lines together are unlike any other test (${f.chance}), ${f.line} most of all: ${f.sent} is written, about ${f.likely} is expected. Check item, method and every line.`,
  },
  'test-copied': {
    reason: 'duplicate-test',
    says: (f) =>
      `${f.line} weights are those of test ${f.other} of the same cutter (${f.chance} that it was copied). Was this piece weighed? Ask for its sheet.`,
  },
  'shares-copied': {
    reason: 'duplicate-test',
    says: (f) =>
      `The piece weighs otherwise, but ${f.line} lines have the shares of test ${f.other} of the same cutter to the division of the scale (${f.chance} that they were worked out from it). Was this piece weighed? Ask for its sheet.`,
  },
} as const satisfies Record<string, CauseWording>;

export type ReviewCause = keyof typeof reviewCauses;

/** Tests that the screen held and that cannot be compared with others: what is missing; `blank` are lines without a weight. */
export const heldCauses = {
  'method-unknown': () =>
    'The way of cutting is not known for this item: write it on the sheet, or give the sender a default.',
  'purge-unknown': () =>
    'Not said whether weighed in the bag, or weighed in the bag without its purge: weigh the liquid left in the bag.',
  'line-missing': (blank: readonly string[]) =>
    blank.length === 0
      ? 'A main output is not on the sheet: weigh it.'
      : `No weight for ${blank.join(', ')}: weigh it, or write 0 where there is none.`,
  'duplicate-test': () =>
    'Every weight repeats an earlier test of the same cutter. Was this piece weighed? Ask for its sheet.',
  'mass-balance': () => 'The outputs do not add up to what came in: weigh every tub again.',
  'weight-out-of-range': () =>
    'The piece is far from the usual weight of the item: check item, weight and unit.',
} as const satisfies Record<string, (blank: readonly string[]) => string>;

/** Every code that may stand among the reasons of a test. */
export const testReasons: ReadonlySet<string> = new Set([
  ...Object.keys(heldCauses),
  ...Object.values(reviewCauses).map(({ reason }) => reason),
]);
