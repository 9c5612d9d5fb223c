import { countedTests } from '../units/counted.ts';

/** What a finding of each kind says, to whom, and the knife step it points to. One catalog in plain words. */
export type FindingKind = {
  reader: 'director' | 'trainer' | 'buyer';
  /** `where`: the class that most of the weight went to or came from; '' = none stands out. */
  step: string | ((where: string) => string);
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
  /** Where the weight went or came from by class, in points; '' = nothing stands out. */
  went: string;
  /** What was measured or inspected beside the weights; '' = nothing. */
  seen?: string;
};

/** The step a finding points to, in the trade's words. */
export const stepOf = (kind: FindingKindName, where = ''): string => {
  const { step }: FindingKind = findingKinds[kind];
  return typeof step === 'string' ? step : step(where);
};

const question = 'A question, not a verdict.';
const missing = ({ went }: FindingFact): string => (went === '' ? '' : `, missing from ${went}`);
const less = ({ went }: FindingFact): string => (went === '' ? '' : `, with less ${went},`);

/** The one catalog of findings, by kind. */
export const findingKinds = {
  'over-trimming': {
    reader: 'trainer',
    step: (where) =>
      where === 'fat'
        ? 'Watch the fat cover and the cap seam: does the knife run through the lean under the fat, and how far in is silverskin taken?'
        : 'Watch the lip and the tail: how much lean does the knife leave on them, and which end pieces go to the trim tub?',
    says: (f) =>
      `${f.who} on ${f.item}: main cut ${f.size} points below expected (${f.range}), gone to ${f.went === '' ? 'trim or fat' : f.went}, over ${countedTests(f.tests)} against ${f.against}; ${f.money}. ${question}`,
  },
  'under-trimming': {
    reader: 'trainer',
    step: 'Check the fat cover left on the cut with a ruler before anything else.',
    says: (f) =>
      `${f.who} on ${f.item}: main cut ${f.size} points above expected (${f.range})${less(f)} over ${countedTests(f.tests)} against ${f.against}${f.seen ? `; ${f.seen}` : ''}. Is fat or silverskin left on? ${question}`,
  },
  'fat-in-trim': {
    reader: 'trainer',
    step: 'Look into the trim tub beside the lean point asked for: is fat that belongs in the fat tub thrown in with it?',
    says: (f) =>
      `${f.who} on ${f.item}: lean trim ${f.size} points above expected (${f.range})${less(f)} over ${countedTests(f.tests)} against ${f.against}. Is fat sold as lean trim? ${question}`,
  },
  'missing-product': {
    reader: 'trainer',
    step: 'Weigh the next test output by output beside the sheet: is every cut, the bone and the fat on it?',
    says: (f) =>
      `${f.who} on ${f.item}: ${f.size} points more unaccounted than expected (${f.range})${missing(f)} over ${countedTests(f.tests)} against ${f.against}; ${f.money}. Is a cut or a tub not weighed? ${question}`,
  },
  'unweighed-trim': {
    reader: 'trainer',
    step: 'Weigh the trim tub: does it stand on the sheet before it goes to the grinder?',
    says: (f) =>
      `${f.who} on ${f.item}: ${f.size} points more unaccounted than expected (${f.range})${missing(f)} over ${countedTests(f.tests)} against ${f.against}; ${f.money}. Is the trim tub not weighed? ${question}`,
  },
  'tare-question': {
    reader: 'trainer',
    step: 'Check the tare of tray and tub before weighing.',
    says: (f) =>
      `${f.who} on ${f.item}: saleable ${f.size} points above expected (${f.range}) while outputs weigh more than what came in, over ${countedTests(f.tests)} against ${f.against}. Is a tray weighed along? ${question}`,
  },
  'room-habit': {
    reader: 'trainer',
    step: 'Show the whole room the same cut; nobody is singled out.',
    says: (f) =>
      `Store ${f.who} on ${f.item}: main cut ${f.size} points below expected (${f.range}) across the room, over ${countedTests(f.tests)} against ${f.against}; ${f.money}.`,
  },
  'portion-drift': {
    reader: 'trainer',
    step: 'Weigh ten portions with the cutter beside the spec: thickness at the guide, and what is done with the first and the last cuts of the piece.',
    says: (f) =>
      `${f.who} on ${f.item}: ${f.size}, over ${countedTests(f.tests)} against ${f.against}. ${question}`,
  },
  'weights-not-weighed': {
    reader: 'trainer',
    step: 'Ask in the store how tests are weighed and written down, and watch one; look at the scale first.',
    says: (f) =>
      `A question for the store about ${f.who}: are all lines of the ${countedTests(f.tests)} weighed? ${f.size}. A scale or copied sheets may look the same; a question, not a verdict.`,
  },
  drift: {
    reader: 'trainer',
    step: 'Ask what has changed since that day: knife, table, product, pace, a new rule?',
    says: (f) =>
      `${f.who} on ${f.item}: ${f.size} (${f.range}), over ${countedTests(f.tests)} against ${f.against}${f.money === '' ? '' : `; ${f.money}`}. ${question}`,
  },
  improved: {
    reader: 'trainer',
    step: 'Say so, and go on to the next thing.',
    says: (f) =>
      `${f.who} on ${f.item}: coaching worked; ${f.size} (${f.range}), over ${countedTests(f.tests)} after against ${f.against}. ${question}`,
  },
  'not-improved': {
    reader: 'trainer',
    step: 'Cut beside each other once more and try another way to show it.',
    says: (f) =>
      `${f.who} on ${f.item}: no improvement seen after coaching; ${f.size} (${f.range}), over ${countedTests(f.tests)} after against ${f.against}. ${question}`,
  },
  'too-early': {
    reader: 'trainer',
    step: 'Ask for the tests that are still needed before judging.',
    says: (f) =>
      `${f.who} on ${f.item}: too early to say whether coaching worked, after ${countedTests(f.tests)}; ${f.size} would tell a gain of 2 points.`,
  },
  'scale-question': {
    reader: 'trainer',
    step: 'Check the scale with a known weight and the tare of tray and tub; where it began on one day, ask for a new lot or rule of that day.',
    says: (f) =>
      `Store ${f.who}: ${f.size} (${f.range}), over ${countedTests(f.tests)} against ${f.against}. Is it the scale, the tare, a lot? No person is meant.`,
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
      `${f.who}: boxes arrive ${f.size} points of billed weight short (${f.range}) over ${countedTests(f.tests)}.`,
  },
  'purge-high': {
    reader: 'buyer',
    step: 'Claim with the lots listed; ask for days since pack.',
    says: (f) =>
      `${f.who}: ${f.size} % of billed weight is lost as purge (${f.range}) over ${countedTests(f.tests)} against ${f.against}.`,
  },
  'out-of-range-pieces': {
    reader: 'buyer',
    step: 'Claim with the lots listed: pieces outside the range bought.',
    says: (f) =>
      `${f.who}: ${f.size} % of the pieces of ${f.item} lie outside the range they were bought in, over ${countedTests(f.tests)}.`,
  },
  'heavier-trend': {
    reader: 'buyer',
    step: 'Ask for the lighter range or write an upper limit into the next order; size portions by thickness anew.',
    says: (f) =>
      `${f.item}: pieces get heavier, ${f.size} (${f.range}, % a year), over ${countedTests(f.tests)} against ${f.against}${f.money === '' ? '' : `; ${f.money} at the regular list`}.`,
  },
  'better-range': {
    reader: 'buyer',
    step: 'Buy the range that is worth more at the prices quoted today; ask the others to come down to its indifference price.',
    says: (f) => `${f.item}: ${f.size} (${f.range}, % of the price), from ${countedTests(f.tests)}.`,
  },
  'supplier-gap': {
    reader: 'buyer',
    step: 'Put the gap into the next quote: a point of yield is a point of price.',
    says: (f) => `${f.who}: ${f.size} (${f.range}), over ${countedTests(f.tests)} against ${f.against}.`,
  },
  'loss-high': {
    reader: 'trainer',
    step: 'Weigh one test in the store output by output, tubs and trays included; ask where drip and bone go. No person is meant.',
    says: (f) =>
      `Store ${f.who}: ${f.size} (${f.range}) across the room, over ${countedTests(f.tests)} against ${f.against}. No person is meant.`,
  },
  'method-pays': {
    reader: 'director',
    step: 'Have more of the item cut this way, as long as its cuts sell at today’s prices.',
    says: (f) => `${f.item}: ${f.size}, over ${countedTests(f.tests)} against ${f.against}.`,
  },
  'method-does-not-pay': {
    reader: 'director',
    step: 'Cut the item the other way, or raise the price to where this way earns as much.',
    says: (f) => `${f.item}: ${f.size}, over ${countedTests(f.tests)} against ${f.against}.`,
  },
  'standard-to-change': {
    reader: 'director',
    step: 'Change the book yield, and the prices that were set by it.',
    says: (f) => `${f.item}: ${f.size} (${f.range}, points off), over ${countedTests(f.tests)}.`,
  },
} as const satisfies Record<string, FindingKind>;

export type FindingKindName = keyof typeof findingKinds;
