/** What a finding of each kind says, to whom, and the knife step it points to. One catalog in plain words. */
export type FindingKind = {
  reader: 'director' | 'trainer' | 'buyer';
  step: string;
  says: (fact: FindingFact) => string;
};
export type FindingFact = {
  who: string;
  item: string;
  size: string;
  range: string;
  tests: number;
  against: string;
  money: string;
};

const question = 'A question, not a verdict.';

export const findingKinds = {
  'over-trimming': {
    reader: 'trainer',
    step: 'Watch the lip, the cap seam and the tail: where does the knife leave main cut in the trim tub?',
    says: (f) =>
      `${f.who} on ${f.item}: main cut ${f.size} points below expected (${f.range}), gone to trim or fat, over ${f.tests} tests against ${f.against}; ${f.money}. ${question}`,
  },
  'under-trimming': {
    reader: 'trainer',
    step: 'Check the fat cover left on the cut with a ruler before anything else.',
    says: (f) =>
      `${f.who} on ${f.item}: main cut ${f.size} points above expected (${f.range}) over ${f.tests} tests against ${f.against}. Is fat or silverskin left on? ${question}`,
  },
  'missing-product': {
    reader: 'trainer',
    step: 'Weigh the trim tub, the bone and the fat: is every output on the sheet?',
    says: (f) =>
      `${f.who} on ${f.item}: ${f.size} points more unaccounted than expected (${f.range}) over ${f.tests} tests against ${f.against}; ${f.money}. Is a tub not weighed? ${question}`,
  },
  'tare-question': {
    reader: 'trainer',
    step: 'Check the tare of tray and tub before weighing.',
    says: (f) =>
      `${f.who} on ${f.item}: saleable ${f.size} points above expected (${f.range}) while outputs weigh more than what came in, over ${f.tests} tests against ${f.against}. Is a tray weighed along? ${question}`,
  },
  'room-habit': {
    reader: 'trainer',
    step: 'Show the whole room the same cut; nobody is singled out.',
    says: (f) =>
      `Store ${f.who} on ${f.item}: main cut ${f.size} points below expected (${f.range}) across the room, over ${f.tests} tests against ${f.against}; ${f.money}.`,
  },
  'weights-not-weighed': {
    reader: 'trainer',
    step: 'Ask in the store how tests are weighed and written down, and watch one; look at the scale first.',
    says: (f) =>
      `A question for the store about ${f.who}: are all lines of the ${f.tests} tests weighed? ${f.size}. A scale or copied sheets may look the same; a question, not a verdict.`,
  },
  drift: {
    reader: 'trainer',
    step: 'Ask what has changed since that day: knife, table, product, pace, a new rule?',
    says: (f) =>
      `${f.who} on ${f.item}: ${f.size} (${f.range}), over ${f.tests} tests against ${f.against}${f.money === '' ? '' : `; ${f.money}`}. ${question}`,
  },
  improved: {
    reader: 'trainer',
    step: 'Say so, and go on to the next thing.',
    says: (f) =>
      `${f.who} on ${f.item}: coaching worked; ${f.size} (${f.range}), over ${f.tests} tests after against ${f.against}. ${question}`,
  },
  'not-improved': {
    reader: 'trainer',
    step: 'Cut beside each other once more and try another way to show it.',
    says: (f) =>
      `${f.who} on ${f.item}: no improvement seen after coaching; ${f.size} (${f.range}), over ${f.tests} tests after against ${f.against}. ${question}`,
  },
  'too-early': {
    reader: 'trainer',
    step: 'Ask for the tests that are still needed before judging.',
    says: (f) =>
      `${f.who} on ${f.item}: too early to say whether coaching worked, after ${f.tests} tests; ${f.size} would tell a gain of 2 points.`,
  },
  'scale-question': {
    reader: 'trainer',
    step: 'Check the scale with a known weight and the tare of tray and tub; ask for a new lot or rule of that day.',
    says: (f) =>
      `Store ${f.who}: ${f.size} (${f.range}), over ${f.tests} tests against ${f.against}. Is it the scale, the tare, a lot? No person is meant.`,
  },
  'silent-store': {
    reader: 'director',
    step: 'Ask the store for its sheets.',
    says: (f) => `Store ${f.who} has sent no test since ${f.size}.`,
  },
  'short-weight': {
    reader: 'buyer',
    step: 'Weigh the next boxes on arrival and claim with the lots listed.',
    says: (f) =>
      `${f.who}: boxes arrive ${f.size} points of billed weight short (${f.range}) over ${f.tests} tests.`,
  },
  'purge-high': {
    reader: 'buyer',
    step: 'Claim with the lots listed; ask for days since pack.',
    says: (f) =>
      `${f.who}: ${f.size} % of billed weight is lost as purge (${f.range}) over ${f.tests} tests against ${f.against}.`,
  },
  'out-of-range-pieces': {
    reader: 'buyer',
    step: 'Claim with the lots listed: pieces outside the range bought.',
    says: (f) =>
      `${f.who}: ${f.size} % of the pieces of ${f.item} lie outside the range they were bought in, over ${f.tests} tests.`,
  },
} as const satisfies Record<string, FindingKind>;

export type FindingKindName = keyof typeof findingKinds;
