/** What a finding of each kind says, to whom, and the knife step it points to. One catalog in plain words. */
export type FindingKind = {
  reader: 'director' | 'trainer' | 'buyer';
  /** `where`: the class that most of the weight went to or came from, `risen` for a level that rose, `nothing` where there was nothing to cure, `received` for what is weighed as it comes in; '' = none stands out. */
  step: string | ((where: string) => string);
  /** Whom or what it is about. */
  about: (fact: FindingFact) => string;
  /** What was seen, as it goes on after a colon, without the money and without its end point. */
  seen: (fact: FindingFact) => string;
  /** What is asked or said at the end; the money stands before it. */
  asks?: string;
  /** It is about a person's work: a question, not a verdict. */
  ofPerson?: true;
};
export type FindingFact = {
  who: string;
  item: string;
  size: string;
  range: string;
  /** How many tests, in words: `1,200 tests`. */
  tests: string;
  against: string;
  /** Its money with interval and over what time; '' = no money is told. */
  money: string;
  /** Where the weight went or came from by class, in points; '' = nothing stands out. */
  went: string;
  /** What was measured or inspected beside it; '' = nothing. */
  seen?: string;
};
/** The words of a finding: whom or what it is about, what was seen without money, and all of it in one line. */
export type FindingWords = { about: string; says: string; headline: string };

/** A finding in words. */
export const findingWords = (name: FindingKindName, fact: FindingFact): FindingWords => {
  const kind: FindingKind = findingKinds[name];
  const about = kind.about(fact);
  const seen = kind.seen(fact);
  const asks = kind.asks === undefined ? '' : ` ${kind.asks}`;
  const money = fact.money === '' ? '' : `; ${fact.money}`;
  const verdict = kind.ofPerson === true ? ' A question, not a verdict.' : '';
  return {
    about,
    says: `${seen.charAt(0).toUpperCase()}${seen.slice(1)}.${asks}`,
    headline: `${about}: ${seen}${money}.${asks}${verdict}`,
  };
};

/** The step a finding points to, in the trade's words. */
export const stepOf = (kind: FindingKindName, where = ''): string => {
  const { step }: FindingKind = findingKinds[kind];
  return typeof step === 'string' ? step : step(where);
};

const ofCutter = ({ who, item }: FindingFact): string => `${who} on ${item}`;
const ofStore = ({ who }: FindingFact): string => `Store ${who}`;
const ofSupplier = ({ who }: FindingFact): string => who;
const ofItem = ({ item }: FindingFact): string => item;
const beside = ({ seen }: FindingFact): string => (seen ? `, ${seen}` : '');
const within = ({ seen }: FindingFact): string => (seen ? ` in ${seen}` : '');
const missing = ({ went }: FindingFact): string => (went === '' ? '' : `, missing from ${went}`);
const unaccounted = (f: FindingFact): string =>
  `${f.size} points more unaccounted than expected (${f.range})${missing(f)} over ${f.tests} against ${f.against}`;
const less = ({ went }: FindingFact): string => (went === '' ? '' : `, with less ${went},`);

/** What to do about a level that rose or fell, and what the change is made of. */
const changeSteps: Record<string, string> = {
  risen:
    'Ask what is done differently since that day, and let the others learn it; look at the fat cover and the tare before you praise the number.',
  'risen unaccounted':
    'Weigh one test output by output and check the tare: what was missing before stands on the sheets since that day, or trays do. Nothing to copy before that is known.',
  'risen lean trim':
    'Look into the trim tub beside the lean point asked for: the rise is trim, and fat thrown in with it looks the same. Nothing to copy before that is known.',
  fallen: 'Ask what has changed since that day: knife, table, product, pace, a new rule?',
  'fallen unaccounted':
    'Weigh one test output by output: what stood on the sheets before that day, and is missing since? Look at the trim tub first.',
};

/** The one catalog of findings, by kind. */
export const findingKinds = {
  'over-trimming': {
    reader: 'trainer',
    step: (where) =>
      where === 'fat'
        ? 'Watch the fat cover and the cap seam: does the knife run through the lean under the fat, and how far in is silverskin taken?'
        : 'Watch the lip and the tail: how much lean does the knife leave on them, and which end pieces go to the trim tub?',
    about: ofCutter,
    seen: (f) =>
      `main cut ${f.size} points below expected (${f.range}), gone to ${f.went === '' ? 'trim or fat' : f.went}, over ${f.tests} against ${f.against}`,
    ofPerson: true,
  },
  'left-elsewhere': {
    reader: 'trainer',
    step: (where) =>
      where === 'bone'
        ? 'Look at the bones after the next test: how much meat stays on them, and does the knife follow the bone?'
        : 'Look at the seam: where does the knife part the main cut from the next muscle, and what lies with the other cuts that belongs to it?',
    about: ofCutter,
    seen: (f) =>
      `main cut ${f.size} points below expected (${f.range}), left ${f.went === '' ? 'on bone or another cut' : `in ${f.went}`}, over ${f.tests} against ${f.against}`,
    ofPerson: true,
  },
  'under-trimming': {
    reader: 'trainer',
    step: 'Check the fat cover left on the cut with a ruler before anything else.',
    about: ofCutter,
    seen: (f) =>
      `main cut ${f.size} points above expected (${f.range})${less(f)} over ${f.tests} against ${f.against}${f.seen ? `; ${f.seen}` : ''}`,
    asks: 'Is fat or silverskin left on?',
    ofPerson: true,
  },
  'fat-in-trim': {
    reader: 'trainer',
    step: 'Look into the trim tub beside the lean point asked for: is fat that belongs in the fat tub thrown in with it?',
    about: ofCutter,
    seen: (f) =>
      `lean trim ${f.size} points above expected (${f.range})${less(f)} over ${f.tests} against ${f.against}`,
    asks: 'Is fat sold as lean trim?',
    ofPerson: true,
  },
  'missing-product': {
    reader: 'trainer',
    step: 'Weigh the next test output by output beside the sheet: is every cut, the bone and the fat on it?',
    about: ofCutter,
    seen: (f) => f.seen || unaccounted(f),
    asks: 'Is a cut or a tub not weighed?',
    ofPerson: true,
  },
  'unweighed-trim': {
    reader: 'trainer',
    step: 'Weigh the trim tub: does it stand on the sheet before it goes to the grinder?',
    about: ofCutter,
    seen: (f) => f.seen || unaccounted(f),
    asks: 'Is the trim tub not weighed?',
    ofPerson: true,
  },
  'tare-question': {
    reader: 'trainer',
    step: 'Check the tare of tray and tub before weighing.',
    about: ofCutter,
    seen: (f) =>
      `outputs weigh more than what came in, and ${f.size} points less is unaccounted for than expected (${f.range}), over ${f.tests} against ${f.against}`,
    asks: 'Is a tray weighed along?',
    ofPerson: true,
  },
  'room-habit': {
    reader: 'trainer',
    step: 'Show the whole room the same cut; nobody is singled out.',
    about: (f) => `Store ${ofCutter(f)}`,
    seen: (f) =>
      `main cut ${f.size} points below expected (${f.range}) across the room, over ${f.tests} against ${f.against}`,
  },
  'portion-drift': {
    reader: 'trainer',
    step: 'Weigh ten portions together, beside the spec: thickness at the guide, and what is done with the first and the last cuts of the piece.',
    about: ofCutter,
    seen: (f) => `in ${f.tests}, ${f.size}`,
    ofPerson: true,
  },
  'weights-not-weighed': {
    reader: 'trainer',
    step: 'Ask in the store how tests are weighed and written down, whether weights are rounded by hand, and watch one; look at the scale first.',
    about: (f) => `A question for the store about ${f.who}`,
    seen: (f) =>
      `are all lines of the ${f.tests} weighed, or are weights rounded by hand? ${f.size}. A scale, rounding or copied sheets may look the same`,
    ofPerson: true,
  },
  drift: {
    reader: 'trainer',
    step: (where) => changeSteps[where] ?? changeSteps['fallen'] ?? '',
    about: ofCutter,
    seen: (f) => `${f.size} (${f.range}), over ${f.tests} against ${f.against}`,
    ofPerson: true,
  },
  improved: {
    reader: 'trainer',
    step: 'Say so, and go on to the next thing.',
    about: ofCutter,
    seen: (f) =>
      `coaching worked; ${f.size} (${f.range})${beside(f)}, over ${f.tests} after against ${f.against}`,
    ofPerson: true,
  },
  'not-improved': {
    reader: 'trainer',
    step: (where) =>
      where === 'nothing'
        ? 'Nothing to put right was seen before; keep the visits for where a habit costs money.'
        : 'Cut beside each other once more and try another way to show it.',
    about: ofCutter,
    seen: (f) =>
      `${f.seen || 'no improvement seen after coaching'}; ${f.size} (${f.range}), over ${f.tests} after against ${f.against}`,
    ofPerson: true,
  },
  'too-early': {
    reader: 'trainer',
    step: 'Ask for the tests that are still needed before judging.',
    about: ofCutter,
    seen: (f) =>
      `too early to say whether coaching worked, after ${f.tests}; ${f.size} needed to see a gain of 2 points`,
  },
  'scale-question': {
    reader: 'trainer',
    step: (where) =>
      where === 'received'
        ? 'Check the scale with a known weight before anything is claimed, and ask how pieces are weighed as they come in: with the bag, before any trim? Where the scale is right, the suppliers are asked.'
        : 'Check the scale with a known weight and the tare of tray and tub; where it began on one day, ask for a new lot or rule of that day.',
    about: ofStore,
    seen: (f) => `${f.size} (${f.range}), over ${f.tests} against ${f.against}`,
    asks: 'Is it the scale, the tare, a lot? No person is meant.',
  },
  'people-differ': {
    reader: 'trainer',
    step: 'Let both cut a piece of the same box side by side and weigh every output: which way leaves more that sells, and is it trimmed as asked?',
    about: (f) => `Store ${ofCutter(f)}`,
    seen: (f) => `two people lie ${f.size} apart (${f.range}), over ${f.tests} against ${f.against}`,
    asks: 'Whose way is right? No person is meant.',
  },
  'silent-store': {
    reader: 'director',
    step: 'Ask the store for its sheets.',
    about: ofStore,
    seen: (f) => `no test sent since ${f.size}`,
  },
  'short-weight': {
    reader: 'buyer',
    step: 'Weigh the next boxes on arrival and claim with the lots listed.',
    about: ofSupplier,
    seen: (f) =>
      `boxes${within(f)} arrive ${f.size} points of billed weight short (${f.range}) over ${f.tests} against ${f.against}`,
  },
  'purge-high': {
    reader: 'buyer',
    step: 'Claim with the lots listed; ask for days since pack.',
    about: ofSupplier,
    seen: (f) =>
      `${f.size} % of billed weight is lost as purge${within(f)} (${f.range}) over ${f.tests} against ${f.against}`,
  },
  'out-of-range-pieces': {
    reader: 'buyer',
    step: 'Claim with the lots listed: pieces outside the range bought.',
    about: ofSupplier,
    seen: (f) =>
      `${f.size} % of the pieces of ${f.item}${within(f)} lie outside the range they were bought in, over ${f.tests}`,
  },
  'heavier-trend': {
    reader: 'buyer',
    step: 'Ask for the lighter range or write an upper limit into the next order; size portions by thickness anew.',
    about: ofItem,
    seen: (f) =>
      `pieces get heavier, ${f.size} (${f.range})${beside(f)}, over ${f.tests} against ${f.against}`,
  },
  'better-range': {
    reader: 'buyer',
    step: 'Within this supplier, buy the range that is worth more at the prices quoted today, and ask for its other ranges at the price at which they are worth the same. Which supplier leaves most, the ranked quotes say.',
    about: ofItem,
    seen: (f) => `${f.size} (${f.range} % above its price)${beside(f)}, from ${f.tests}`,
  },
  'supplier-gap': {
    reader: 'buyer',
    step: 'Put the gap into the next quote: a point of yield is a point of price.',
    about: ofSupplier,
    seen: (f) => `${f.size} (${f.range}), over ${f.tests} against ${f.against}`,
  },
  'loss-high': {
    reader: 'trainer',
    step: 'Weigh one test in the store output by output, tubs and trays included; ask where drip and bone go.',
    about: (f) => `Store ${ofCutter(f)}`,
    seen: (f) =>
      `${f.size} points more unaccounted than expected (${f.range})${missing(f)} across the room, over ${f.tests} against ${f.against}`,
    asks: 'No person is meant.',
  },
  'method-pays': {
    reader: 'director',
    step: 'Have more of the item cut this way, as long as its cuts sell at today’s prices.',
    about: ofItem,
    seen: (f) => `${f.size}, over ${f.tests} against ${f.against}`,
  },
  'method-does-not-pay': {
    reader: 'director',
    step: 'Cut the item the other way, or raise the price to where this way earns as much.',
    about: ofItem,
    seen: (f) => `${f.size}, over ${f.tests} against ${f.against}`,
  },
  'standard-to-change': {
    reader: 'director',
    step: 'Change the book yield, and the prices that were set by it.',
    about: ofItem,
    seen: (f) => `${f.size} (${f.range} points off), over ${f.tests}`,
  },
} as const satisfies Record<string, FindingKind>;

export type FindingKindName = keyof typeof findingKinds;
