import type { MarginCount, UnpricedRow } from '../../findings/merchandise/unpricedRows.ts';
import type { Action } from './actions.tsx';
import type { Formats } from './formats.ts';

export type Pricing = { unpriced: readonly UnpricedRow[]; margins: MarginCount };

const mostNamed = 4;
const most = 0.5;

/** What must be priced before money can be read, and that most tests sell below cost: one action, or none. */
export const pricingActions = ({ unpriced, margins }: Pricing, write: Formats): Action[] => {
  const isBelow = margins.negative > margins.known * most;
  if (unpriced.length === 0 && !isBelow) return [];
  const below = isBelow
    ? ` ${write.count(margins.negative)} of ${write.tests(margins.known)} sell for less than the meat cost.`
    : '';
  const what =
    unpriced.length === 0
      ? 'Check costs and prices: most tests sell for less than the meat cost'
      : `Price ${namedText(unpriced)}: without a price ${unpriced.length === 1 ? 'it counts' : 'they count'} as 0`;
  const why =
    unpriced.length === 0
      ? `${below.trim()} Either a unit cost or a price is wrong (its unit, its day), or the meat is sold at a loss.`
      : `${sharesText(unpriced, write)}. ${effectText(unpriced)}${below}`;
  return [
    {
      what,
      why,
      next:
        unpriced.length === 0
          ? 'compare unit_cost in the test files with reference/prices.csv.'
          : `enter what ${unpriced.length === 1 ? 'it sells' : 'they sell'} for in reference/prices.csv, valid from the day of the first test; 0 for what is given away.`,
      worth: '',
      worthNote: '',
      links: [],
    },
  ];
};

/** The same for the note under a figure of money; '' where all is priced. */
export const pricingNote = ({ unpriced }: Pricing, write: Formats): string =>
  unpriced.length === 0 ? '' : ` Not priced, so counted as 0: ${sharesText(unpriced, write)}.`;

/** Behind an amount: that it is off while outputs have no price; '' where all have one. */
export const pricingDoubt = ({ unpriced }: Pricing): string =>
  unpriced.length === 0
    ? ''
    : ` These amounts are off until ${namedText(unpriced)} ${unpriced.length === 1 ? 'has a price: it counts' : 'have prices: they count'} as 0.`;

const namedText = (unpriced: readonly UnpricedRow[]): string => {
  const named = unpriced.slice(0, mostNamed).map((row) => row.output);
  const left = unpriced.length - named.length;
  return left === 0 ? named.join(', ') : `${named.join(', ')} and ${left} more`;
};

const sharesText = (unpriced: readonly UnpricedRow[], write: Formats): string => {
  const shares = unpriced.slice(0, mostNamed).map((row) => {
    const tests =
      row.testsWithout === row.tests
        ? write.tests(row.tests)
        : `${write.count(row.testsWithout)} of ${write.tests(row.tests)}`;
    return `${row.output} is ${write.percent(row.shareOfCut)} of the weight cut (${tests})`;
  });
  const left = unpriced.length - shares.length;
  return left === 0 ? shares.join(', ') : `${shares.join(', ')}, and ${left} more`;
};

/** Which way the figures are off: meat that is sold is worth more than 0, so margins are more than they read. */
const effectText = (unpriced: readonly UnpricedRow[]): string => {
  const isCut = (row: UnpricedRow): boolean => row.outputClass.endsWith('cut');
  const off = [
    'Sales value and margins read too low',
    ...(unpriced.some(isCut) ? ['what habits lose of these cuts too low'] : []),
    ...(unpriced.every(isCut) ? [] : ['what habits cost that put meat into them too high']),
    ...(unpriced.some((row) => row.outputClass === 'fat' || row.outputClass === 'bone')
      ? ['the cost of a saleable weight too high']
      : []),
  ];
  return `${off.join(', ')}.`;
};
