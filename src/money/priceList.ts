import { groupedBy } from '../tables/groupedBy.ts';

/** A retail price per kg with where and when it holds; validFrom/validTo calendar days, validTo NaN = open; '' = any. */
export type PriceEntry = {
  output: string;
  pricePerKg: number;
  validFrom: number;
  validTo: number;
  kind: string;
  region: string;
  item: string;
  grade: string;
};
export type PriceQuestion = {
  output: string;
  item: string;
  grade: string;
  region: string;
  day: number;
};
export type PriceList = {
  inForce: (question: PriceQuestion) => number;
  regular: (question: PriceQuestion) => number;
};

const holds = (entry: PriceEntry, question: PriceQuestion): boolean =>
  entry.validFrom <= question.day &&
  !(entry.validTo < question.day) &&
  (entry.item === '' || entry.item === question.item) &&
  (entry.grade === '' || entry.grade === question.grade) &&
  (entry.region === '' || question.region === '*' || entry.region === question.region);

/** Of region, item and grade, how many a price names: the more, the more specific. */
export const specificity = (entry: PriceEntry): number =>
  Number(entry.region !== '') + Number(entry.item !== '') + Number(entry.grade !== '');

/** The most specific rows, of these the latest validFrom; several left with different prices are a tie (refused). */
const mostSpecific = (entries: readonly PriceEntry[]): PriceEntry[] => {
  const best = entries.reduce((most, entry) => Math.max(most, specificity(entry)), -1);
  const specific = entries.filter((entry) => specificity(entry) === best);
  const latest = specific.reduce((most, entry) => Math.max(most, entry.validFrom), Number.NEGATIVE_INFINITY);
  return specific.filter((entry) => entry.validFrom === latest);
};

const single = (entries: readonly PriceEntry[]): number => {
  const first = entries[0];
  return first !== undefined && entries.every((entry) => entry.pricePerKg === first.pricePerKg)
    ? first.pricePerKg
    : Number.NaN;
};

const meanOverRegions = (entries: readonly PriceEntry[]): number => {
  const regions = [...new Set(entries.map((entry) => entry.region))].sort();
  const prices = regions.map((region) =>
    single(mostSpecific(entries.filter((entry) => entry.region === region))),
  );
  return prices.length === 0 ? Number.NaN : prices.reduce((sum, price) => sum + price, 0) / prices.length;
};

/**
 * Looks up prices per kg; NaN where none holds or two rows tie. `inForce`: what the store asked that day, an ad before
 * a regular price. `regular`: the one chain list at which people are compared: regular rows in force on the day asked,
 * the plain mean over regions where prices differ by region (question.region is not read).
 */
export const priceList = (entries: readonly PriceEntry[]): PriceList => {
  const byOutput = groupedBy(entries, (entry) => entry.output);
  const remembered = new Map<string, number>();
  const remember = (kind: string, question: PriceQuestion, find: () => number): number => {
    // no name holds a NUL: cells with control characters are refused
    const { output, item, grade, region, day } = question;
    const key = `${kind}\u0000${output}\u0000${item}\u0000${grade}\u0000${region}\u0000${day}`;
    const known = remembered.get(key);
    if (known !== undefined) return known;
    const price = find();
    remembered.set(key, price);
    return price;
  };
  const of = (question: PriceQuestion, kind: string): PriceEntry[] =>
    (byOutput.get(question.output) ?? []).filter((entry) => entry.kind === kind && holds(entry, question));
  return {
    inForce: (question) =>
      remember('in force', question, () => {
        const ads = of(question, 'ad');
        return single(mostSpecific(ads.length > 0 ? ads : of(question, 'regular')));
      }),
    regular: (question) =>
      remember('regular', question, () => meanOverRegions(of({ ...question, region: '*' }, 'regular'))),
  };
};
