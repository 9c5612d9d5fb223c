import type { FindingRow } from '../../findings/found.ts';
import type { Action, Link } from './actions.tsx';
import type { QuotesOfItem } from './buyingView.ts';
import type { Formats } from './formats.ts';
import { moneyAside } from './moneyText.ts';

const mostQuotes = 3;
const mostActions = 7;

type FindingWords = {
  ask: (whom: string) => string;
  link: Link;
  /** What has to be known to read what was seen; a sentence. */
  note?: string;
};

const lots = { text: 'Lots to name', href: 'claims.html' };
const quotes = { text: 'All quotes and what each range is worth', href: 'quotes.html' };
const words: Record<string, FindingWords> = {
  'purge-high': { ask: (whom) => `Claim purge from ${whom}`, link: lots },
  'short-weight': { ask: (whom) => `Claim short weight from ${whom}`, link: lots },
  'out-of-range-pieces': { ask: (whom) => `Claim pieces outside the range from ${whom}`, link: lots },
  'better-range': {
    ask: (whom) => `Within one supplier, take the better range of ${whom}`,
    link: quotes,
    note: 'Two ranges of the same supplier at delivered prices; who sells cheapest of all stands at the top.',
  },
  'supplier-gap': {
    ask: (whom) => `Hold the yield against ${whom} in the next quote`,
    link: { text: 'How suppliers differ', href: 'index.html#how-suppliers-differ' },
  },
  'heavier-trend': {
    ask: (whom) => `Ask for lighter pieces of ${whom}`,
    link: { text: 'Piece weight by month', href: 'ranges.html#piece-weight-by-month' },
    note: 'Counted at one price: a heavier range that is quoted low enough may still be the better buy.',
  },
};

/** Whether a finding is something to claim from a supplier, with lots. */
export const isClaim = (finding: FindingRow): boolean => words[finding.kind]?.link === lots;

/** What the buyer should do next: the best quote of each item, claims with their lots, then what else was found. */
export const buyerActions = (
  found: {
    items: readonly QuotesOfItem[];
    findings: readonly FindingRow[];
    called: (item: string) => string;
    /** What was paid for the weight above usual, by the id of the claim; none where it is not known. */
    paid: ReadonlyMap<string, number>;
  },
  write: Formats,
): Action[] => {
  const claimsFirst = [...found.findings].sort((a, b) => Number(isClaim(b)) - Number(isClaim(a)));
  return [
    ...found.items.slice(0, mostQuotes).flatMap((own) => quoteAction(own, write)),
    ...claimsFirst.map((finding) => ({
      ...findingAction(finding, found.called),
      ...worthOf(finding, found.paid.get(finding.findingId) ?? 0, write),
    })),
  ].slice(0, mostActions);
};

const quoteAction = (own: QuotesOfItem, write: Formats): Action[] => {
  const [first, second] = own.quotes;
  if (first === undefined) return [];
  const isTie = own.race?.isTie === true;
  const offer = `${first.what} at ${first.price}`;
  return [
    {
      what: `${own.item}: take ${isTie && second !== undefined ? `${offer}, or ${second.what} at ${second.price}` : offer}`,
      why: `${rivalOf(own, write)} A saleable ${write.unit} costs ${first.perSaleable}${isTie && second !== undefined ? ` of the first, ${second.perSaleable} of the second` : ''}.`,
      next: nextOf(own),
      worth: first.left,
      worthNote: `margin per billed ${write.unit} before labor, ${first.low} to ${first.high}`,
      links: [quotes],
    },
  ];
};

/** How far ahead the first is, and of what. */
const rivalOf = ({ quotes: [first, second, ...others], race }: QuotesOfItem, write: Formats): string => {
  if (first === undefined || second === undefined) return 'The only open quote that can be valued.';
  const left = `${second.left}${race?.laborTurns === true ? ` before labor and more after it (${second.afterLabor} against ${first.afterLabor})` : ''}`;
  const all = write.count(others.length + 2);
  return race?.isTie === true
    ? `Nearly a tie, ranked before labor: of ${all} quotes the first is best with ${first.chance} chance; it leaves ${first.left}, the second ${left}.`
    : `Best of ${all} with ${first.chance} chance; next is ${second.what} at ${second.price}, which leaves ${left}.`;
};

/** Up to which price the first stays first: for the buyer's ears, not the seller's. */
const nextOf = ({ quotes: [first, second], race }: QuotesOfItem): string => {
  if (first === undefined || second === undefined || race === undefined) return '';
  return race.isTie
    ? 'choose by the size you need, and ask for a better price on both.'
    : `ask for less; above ${race.upTo} it no longer leaves more than ${second.what}.`;
};

const findingAction = (
  finding: FindingRow,
  called: (item: string) => string,
): Omit<Action, 'worth' | 'worthNote'> => {
  const { link, note } = words[finding.kind] ?? {};
  return {
    what: buyerAsk(finding, called),
    why: note === undefined ? finding.says : `${finding.says} ${note}`,
    next: finding.step,
    links: link === undefined ? [] : [link],
  };
};

/** What is lost by it, or what there is to claim. */
const worthOf = (finding: FindingRow, paid: number, write: Formats): Pick<Action, 'worth' | 'worthNote'> => {
  if (finding.moneyPerWeek > 0)
    return moneyAside(
      { value: finding.moneyPerWeek, low: finding.moneyLow, high: finding.moneyHigh },
      'lost a week',
      write,
    );
  return paid > 0
    ? { worth: write.money(paid), worthNote: 'paid for the weight above usual in the lots tested' }
    : { worth: '', worthNote: '' };
};

/** What a finding asks of the buyer, with the supplier or item it begins with: `Claim purge from Mill Meats`. */
export const buyerAsk = (finding: FindingRow, called: (item: string) => string): string => {
  const whom = finding.about === finding.item ? called(finding.item) : finding.about;
  return words[finding.kind]?.ask(whom) ?? [finding.kind.replaceAll('-', ' '), whom].join(' ').trim();
};
