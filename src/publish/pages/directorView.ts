import type { MethodRow, StandardChangeRow, StoreStatusRow } from '../../findings/found.ts';
import { noVolume } from '../../money/volumeWeeks.ts';
import type { Action, Fact } from './actions.tsx';
import { type Formats, formats } from './formats.ts';
import type { Basis } from './frame.tsx';
import { groups } from './groups.ts';
import { habitAsk, habitHappens } from './habitWords.ts';
import {
  type DatedLoss,
  type Loss,
  type MoneySum,
  moneySpan,
  moneySum,
  type ShownLosses,
  shownLosses,
} from './losses.ts';
import { type MoneyPlaces, moneyPlaces } from './moneyPlaces.ts';
import { type MoneyRange, moneyAside, moneyText } from './moneyText.ts';
import { names } from './names.ts';
import { isReporting, notCounted, type PeopleFree, type RefusedRead } from './peopleFree.ts';
import { pricingActions, pricingDoubt, pricingNote } from './pricingNotes.ts';
import { type SmallRoomsWords, smallRoomsActions, smallRoomsMost } from './smallRoomsActions.ts';
import { type TrendView, trendView } from './trendView.ts';
import { type WeekNews, weekNews } from './weekNews.ts';

/** What the director's pages say, computed before any page is written. */
export type DirectorView = {
  basis: Basis;
  scope: string;
  lead: string;
  facts: Fact[];
  total: MoneySum;
  /** Over what time the money runs, e.g. `a week`. */
  span: string;
  /** Said where there is nothing to do. */
  calm: string;
  shown: ShownLosses;
  places: MoneyPlaces;
  actions: Action[];
  /** In what order the actions stand. */
  order: string;
  trend: TrendView;
  news: WeekNews;
  stores: StoreStatusRow[];
  refused: RefusedRead[];
  minimumGroup: number;
  methods: MethodRow[];
  standards: StandardChangeRow[];
  targetMargin: number;
};

const mostActions = 8;
const mostPriced = 3;
const mostSilent = 4;
/** Beside what has no amount by week, so that nobody looks for its place among those that have. */
const notByWeek = 'no weekly amount';
const scope = `What is sold less what the meat cost. ${notCounted}`;

/** Why money does not run over a week; '' where it does. */
const seenNote = (losses: PeopleFree['losses']): string => {
  const seen = losses.filter((row) => row.ofTestsSeen === true);
  if (seen.length === 0) return '';
  const whose = seen.length === losses.length ? 'the stores' : 'some stores';
  return ` Of ${whose} there is ${noVolume}: their money is that of the tests seen.`;
};

/** Everything the director's pages show, from tables without people. */
export const directorView = (input: PeopleFree): DirectorView => {
  const { chain } = input;
  const minimumGroup = chain.privacy.minimum_group;
  const shown = shownLosses(input.losses, minimumGroup);
  const rows = [
    ...shown.rows,
    ...(shown.together === undefined ? [] : [{ ...shown.together, moneyPerWeek: shown.together.value }]),
  ];
  const called = names(chain, input.stores);
  const total = moneySum(rows);
  const trend = trendView(input);
  return {
    basis: basisOf(input),
    scope: `${scope}${seenNote(input.losses)}${pricingNote(input.merchandise, formats(input.chain))}`,
    lead: `${leadOf(input, total, shown)}${total.value === 0 ? '' : pricingDoubt(input.merchandise)}`,
    facts: factsOf(input, trend),
    total,
    span: moneySpan(input.losses),
    calm: calmOf(shown, minimumGroup),
    shown,
    places: moneyPlaces(shown, called),
    actions: actionsOf(input, shown),
    order: orderOf(shown, input),
    trend,
    news: weekNews(input),
    stores: input.stores,
    refused: input.refused,
    minimumGroup,
    methods: input.methods,
    standards: input.standards,
    targetMargin: chain.target_margin,
  };
};

const basisOf = (input: PeopleFree): Basis => {
  const write = formats(input.chain);
  const held = `${write.tests(input.held)} ${input.held === 1 ? 'was set aside because it' : 'were set aside because they'} cannot be true as sent.`;
  return {
    data: `Data to ${write.day(input.asOf)}. ${input.reported}.`,
    adjusted: `Adjusted for ${input.adjustedFor.join(', ') || 'nothing yet'}. Not adjusted for knives, tables, time pressure or how an animal was fed. ${held}`,
  };
};

const factsOf = ({ stores, standards, chain }: PeopleFree, trend: TrendView): Fact[] => {
  const write = formats(chain);
  const reporting = stores.filter(isReporting).length;
  return [
    {
      value: `${write.count(reporting)} of ${write.count(stores.length)}`,
      means: 'stores report',
      href: 'stores.html',
    },
    {
      value: write.count(trend.lastWeek),
      means: `tests in the last 7 days, ${write.count(trend.weekBefore)} in the 7 before`,
      href: 'stores.html',
    },
    {
      value: write.count(standards.length),
      means: 'book yields to change: prices are set by them',
      href: 'decisions.html#standards-to-change',
    },
  ];
};

const leadOf = (input: PeopleFree, total: MoneySum, shown: ShownLosses): string => {
  const write = formats(input.chain);
  const small = `in stores with fewer than ${input.chain.privacy.minimum_group} cutters, which are not told apart here; the trainer knows where.`;
  if (total.value === 0)
    return shown.withheld === 0
      ? 'No cutting habit that costs money stands out this week.'
      : `The only cutting habits found are ${small}`;
  const cost = moneyText(total, moneySpan(input.losses), write);
  const first = inOrder(shown.rows, input)[0];
  const called = names(input.chain, input.stores);
  if (first === undefined)
    return `Cutting habits cost ${cost}, all of it ${small}${smallRoomsMost(shown, wordsOf(input))}`;
  return `Start at ${called.store(first.store)}, where ${habitHappens(first.habit, called.item(first.item), first.went)}: ${moneyText(moneyOf(first), moneySpan([first]), write)}${untilText(first, input)}. ${together(shown, cost, input.chain.privacy.minimum_group)}`;
};

/** All of it, told beside the first: how many habits it is the sum of, and what it leaves out. */
const together = (shown: ShownLosses, cost: string, minimumGroup: number): string => {
  const { rows, withheld } = shown;
  if (shown.together !== undefined) return `All habits found cost together ${cost}.`;
  if (withheld > 0) {
    const those = rows.length === 1 ? 'The one habit' : `The ${rows.length} habits`;
    const costs = rows.length === 1 ? 'costs' : 'cost together';
    return `${those} found in stores with ${minimumGroup} or more cutters ${costs} ${cost}; what was found in ${withheld === 1 ? '1 smaller store' : `${withheld} smaller stores`} is left out, to keep people out of it.`;
  }
  return rows.length === 1
    ? 'No other habit was found to cost money.'
    : `The ${rows.length} habits found cost together ${cost}.`;
};

const moneyOf = ({ moneyPerWeek, low, high }: Loss): MoneyRange => ({ value: moneyPerWeek, low, high });

const wordsOf = (input: PeopleFree): SmallRoomsWords => ({
  called: names(input.chain, input.stores),
  write: formats(input.chain),
  minimumGroup: input.chain.privacy.minimum_group,
  span: moneySpan(input.losses.filter((row) => row.suppressed)),
});

/** Nothing to do is said only where nothing is withheld. */
const calmOf = ({ withheld }: ShownLosses, minimumGroup: number): string =>
  withheld === 0
    ? 'Nothing needs a decision this week.'
    : `Ask the trainer about the ${withheld === 1 ? 'store' : `${withheld} stores`} with fewer than ${minimumGroup} cutters in which habits were found; nothing else needs a decision this week.`;

/** Most money first; last what only old sheets show. */
const inOrder = (rows: readonly DatedLoss[], { stores }: PeopleFree): DatedLoss[] => {
  const old = new Set(stores.filter((store) => !isReporting(store)).map(({ store }) => store));
  return [...rows].sort(
    (a, b) => Number(old.has(a.store)) - Number(old.has(b.store)) || b.moneyPerWeek - a.moneyPerWeek,
  );
};

/** Until when it was seen, where the store sends no recent sheets; with a comma before it. */
const untilText = ({ store }: Loss, { stores, chain }: PeopleFree): string => {
  const status = stores.find((row) => row.store === store);
  return status === undefined || isReporting(status)
    ? ''
    : `, by tests to ${formats(chain).day(status.lastTest)}; there are none since`;
};

/** In what order things to do stand, where some rest on old sheets only. */
const orderOf = ({ rows }: ShownLosses, input: PeopleFree): string =>
  rows.some((row) => untilText(row, input) !== '')
    ? 'Most money first, after it what only older tests show, then what has no weekly amount.'
    : 'Most money first, then what has no weekly amount.';

/** On what it rests: a fall is told against the time before its day, a habit against others, since its tests are enough to show it. */
const restsOn = ({ since, habit, tests }: DatedLoss, write: Formats): string => {
  const day = since === '' ? '' : ` since ${write.day(since)}`;
  return habit === 'drift'
    ? `${write.tests(tests)}${day} against what was got out of the same pieces there before`
    : `${write.tests(tests)} against what the same pieces yield elsewhere${day === '' ? '' : `; the habit is clear${day}`}`;
};

const actionsOf = (input: PeopleFree, shown: ShownLosses): Action[] => {
  const write = formats(input.chain);
  const called = names(input.chain, input.stores);
  const habits = inOrder(shown.rows, input)
    .slice(0, 3)
    .map((row) => ({
      money: row.moneyPerWeek,
      isOld: untilText(row, input) !== '',
      what: habitAsk(row.habit, called.store(row.store), called.item(row.item)),
      why: `${restsOn(row, write)}${untilText(row, input)}.`,
      next: '',
      ...moneyAside(moneyOf(row), moneySpan([row]), write),
      links: [
        {
          text: `${called.store(row.store)} among all stores`,
          href: `stores.html#${new URLSearchParams({ 'stores.store': row.store })}`,
        },
      ],
    }));
  const small = smallRoomsActions(shown, wordsOf(input)).map((action) => ({ ...action, isOld: false }));
  const priced = [...habits, ...small];
  return [
    ...pricingActions(input.merchandise, formats(input.chain)),
    ...priced
      .sort((a, b) => Number(a.isOld) - Number(b.isOld) || b.money - a.money)
      .slice(0, mostPriced)
      .map(({ money: _, isOld: __, ...action }) => action),
    ...methodActions(input),
    ...standardActions(input),
    ...refusedActions(input),
    ...silentActions(input),
  ].slice(0, mostActions);
};

const methodActions = (input: PeopleFree): Action[] => {
  const write = formats(input.chain);
  const called = names(input.chain, input.stores);
  const losing = groups(
    input.methods.filter((row) => row.high < 0),
    (row) => `${row.item}\u0000${row.method}\u0000${row.otherMethod}`,
  ).map(([, own]) => [...own].sort((a, b) => riseOf(a) - riseOf(b))[0] as MethodRow);
  return losing
    .sort((a, b) => a.gapPerBilledKg - b.gapPerBilledKg)
    .slice(0, 1)
    .map((row) => ({
      what: `Cut ${called.item(row.item)} by “${row.otherMethod}”, not “${row.method}”, at today’s prices`,
      why: `The way “${row.method}” earns ${write.cents(-row.gapPerBilledKg * write.unitKg)} less per billed ${write.unit} ${laborOf([row])} (95 % interval ${write.range(-row.high * write.unitKg, -row.low * write.unitKg, write.cents)}; ${write.tests(row.tests)}). It pays again when ${row.output} sells above ${write.cents(breakEvenOf(row) * write.unitKg)} (now ${write.cents(row.pricePerKg * write.unitKg)}).`,
      next: '',
      worth: '',
      worthNote: `priced by the ${write.unit}, ${notByWeek}`,
      links: [{ text: 'Ways of cutting compared', href: 'decisions.html#ways-of-cutting-after-labor' }],
    }));
};

const riseOf = (row: MethodRow): number => breakEvenOf(row) / row.pricePerKg;

const breakEvenOf = (row: MethodRow): number =>
  row.isLaborKnown ? row.breakEvenWithLaborPerKg : row.breakEvenPerKg;

/** Whether the gaps of ways of cutting count labor, in words. */
export const laborOf = (methods: readonly MethodRow[]): string => {
  if (methods.every((row) => row.isLaborKnown)) return 'after labor';
  return methods.some((row) => row.isLaborKnown)
    ? 'after labor where it is known'
    : 'before labor, which is not known';
};

/** Book yields that the tests contradict: prices rest on them. */
const standardActions = ({ standards, chain, stores }: PeopleFree): Action[] => {
  const first = standards[0];
  if (first === undefined) return [];
  const called = names(chain, stores);
  const write = formats(chain);
  const which = `${first.output} from ${called.item(first.item)}`;
  return [
    {
      what:
        standards.length === 1
          ? `Change the book yield of ${which}`
          : `Change ${write.count(standards.length)} book yields, that of ${which} first`,
      why: `Book ${write.percent(first.book)}, measured ${write.percent(first.measured)} (95 % interval ${write.range(first.low, first.high, write.percent)}; ${write.tests(first.tests)}). Prices that are set by the book miss the target margin.`,
      next: '',
      worth: '',
      worthNote: notByWeek,
      links: [{ text: 'Book yields to change', href: 'decisions.html#standards-to-change' }],
    },
  ];
};

/** Files of which nothing was read: their stores did their part. */
const refusedActions = ({ refused, stores, chain }: PeopleFree): Action[] => {
  if (refused.length === 0) return [];
  const called = names(chain, stores);
  const whose = [...new Set(refused.flatMap((file) => file.stores))].sort().map(called.store);
  const named =
    whose.length > 4 ? `${whose.slice(0, 3).join(', ')} and ${whose.length - 3} more` : whose.join(', ');
  const [files, are, why] =
    refused.length === 1
      ? ['the file', 'was', 'Its tests are in no figure here']
      : [`${refused.length} files`, 'were', 'Their tests are in no figure here'];
  return [
    {
      what: `Have ${files} sent again that ${are} refused whole${named === '' ? '' : `: ${named}`}`,
      why: `${why}${countedStill(refused, stores)}. The page “Stores” says what is wrong and how to mend it.`,
      next: '',
      worth: '',
      worthNote: '',
      links: [{ text: 'Files refused whole', href: 'stores.html#files-refused-whole' }],
    },
  ];
};

/** Whether stores whose file was refused count as reporting all the same. */
const countedStill = (refused: PeopleFree['refused'], stores: PeopleFree['stores']): string => {
  const whose = new Set(refused.flatMap((file) => file.stores));
  const still = stores.filter((store) => whose.has(store.store) && isReporting(store)).length;
  if (still === 0) return '';
  const who = whose.size === 1 ? 'the store still counts' : `${still} of ${whose.size} stores still count`;
  return `; ${who} as reporting, by other sheets`;
};

const silentActions = ({ stores, chain }: PeopleFree): Action[] => {
  const silent = stores.filter((store) => store.silent);
  if (silent.length === 0) return [];
  const called = names(chain, stores);
  const write = formats(chain);
  const lastOf = ({ lastTest }: StoreStatusRow): string => write.day(lastTest) || 'never';
  return [
    {
      what: `Ask ${silent.length === 1 ? called.store((silent[0] as StoreStatusRow).store) : `${silent.length} stores`} for test sheets`,
      why: `Last test: ${silent
        .slice(0, mostSilent)
        .map((store) =>
          silent.length === 1 ? lastOf(store) : `${called.store(store.store)} ${lastOf(store)}`,
        )
        .join(', ')}${silent.length > mostSilent ? ', and others' : ''}. ${notThere(silent)}`,
      next: '',
      worth: '',
      worthNote: '',
      links: [{ text: 'All stores', href: 'stores.html' }],
    },
  ];
};

/** What the figures hold of silent stores: old sheets count as before. */
const notThere = (silent: readonly StoreStatusRow[]): string =>
  silent.every(({ lastTest }) => lastTest === '')
    ? 'Nothing that is cut there is in any figure.'
    : 'What was cut there since is in no figure; what older sheets show counts like that of other stores.';
