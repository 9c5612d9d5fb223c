import type { Chain } from '../../catalog/chain.ts';
import { rejectCodes } from '../../faults/rejectCodes.ts';
import type { BuyingNight, ClaimLotRow } from '../../findings/buying/buyingRows.ts';
import type {
  FindingRow,
  LossRow,
  MethodRow,
  StandardChangeRow,
  StoreStatusRow,
} from '../../findings/found.ts';
import type { MerchandiseNight } from '../../findings/merchandise/merchandise.ts';
import type { RefusedFile } from '../../ingest/ingested.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import type { CurveRow } from '../../model/modeled.ts';
import { pickedRows } from '../../tables/rows.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import type { SitesInput } from '../sitesInput.ts';
import { beyondExpected } from './beyondExpected.ts';
import { isCostlyHabit } from './habitWords.ts';
import { type IntakeView, intakeView } from './intakeView.ts';

/** What money on these pages leaves out, said wherever it stands. */
export const notCounted =
  'Packaging, losses in the display case and markdowns are not in it: it is not a store’s profit.';

const shownFields = [
  'region',
  'item',
  'spec',
  'grade',
  'weightClass',
  'meanPieceKg',
  'supplier',
  'costPerSaleableKg',
  'purgeOfBilled',
  'cutDay',
] as const;
/** Columns of measured tests that the pages without people are made from. */
export const peopleFreeFields = [...shownFields, 'store', 'testId', 'state'] as const;

/** A test without the person: what the director's and buyer's pages may aggregate. */
export type PeopleFreeTest = Pick<MeasuredTest, (typeof shownFields)[number]> & {
  month: string;
  /** Saleable yield beyond expected, as a fraction: what its time had in common and what its supplier had left in each. */
  beyond: { withTime: number; withSupplier: number };
};

export type PeopleFree = {
  chain: Chain;
  asOf: string;
  asOfDay: number;
  reported: string;
  tests: PeopleFreeTest[];
  held: number;
  /** With the day since which each habit is clear, ISO, and whether it is told tonight for the first time. */
  losses: (LossRow & { since: string; isNew: boolean })[];
  /** No test was there before tonight: whatever is told is told for the first time. */
  isFirstNight: boolean;
  /** Habits that ended in the last four weeks, of rooms that may be shown. */
  ended: { store: string; item: string; habit: string }[];
  standards: StandardChangeRow[];
  stores: StoreStatusRow[];
  buyerFindings: FindingRow[];
  claimLots: ClaimLotRow[];
  curves: CurveRow[];
  methods: MethodRow[];
  buying: BuyingNight;
  merchandise: MerchandiseNight;
  adjustedFor: string[];
  refused: RefusedRead[];
  intake: IntakeView;
};

/** A file refused whole, in words; what its cells hold is left out, as a cell may name a cutter. */
export type RefusedRead = {
  file: string;
  sender: string;
  stores: readonly string[];
  /** ISO day on which it was first there. */
  seen: string;
  why: string;
  where: string;
  remedy: string;
};

/** Whether tests of a store were cut lately and can be read. */
export const isReporting = ({ silent, sentButRefused, sentButOld }: StoreStatusRow): boolean =>
  !silent && !sentButRefused && !sentButOld;

/** Whether a store sends, in a few words. */
export const storeState = ({ silent, sentButRefused, sentButOld }: StoreStatusRow): string => {
  if (silent) return 'silent';
  if (sentButRefused) return 'sent, but refused';
  return sentButOld ? 'sent, but old' : 'reports';
};

/** The tables without people, from which alone the director's and buyer's bundles are made. */
export const peopleFree = (input: SitesInput): PeopleFree => {
  const all = pickedRows<MeasuredTest, (typeof peopleFreeFields)[number]>(
    input.measured.tests,
    peopleFreeFields,
  );
  const beyond = beyondExpected(all, input.modeled);
  const used = all.filter((test) => test.state !== 'held');
  const reporting = input.found.stores.filter(isReporting).length;
  return {
    chain: input.chain,
    asOf: isoFromDay(input.asOfDay),
    asOfDay: input.asOfDay,
    reported: `${reporting} of ${input.found.stores.length} stores reported in the last ${input.chain.freshness.stale_after_days} days`,
    tests: used.map(({ store, testId, state: _, ...test }) => ({
      ...test,
      month: isoFromDay(test.cutDay).slice(0, 7),
      beyond: beyond.get(`${store}\u0000${testId}`) ?? { withTime: Number.NaN, withSupplier: Number.NaN },
    })),
    held: all.length - used.length,
    losses: datedLosses(input),
    isFirstNight: isFirstNight(input),
    ended: endedHabits(input),
    standards: input.found.standards,
    stores: input.found.stores,
    methods: input.found.methods,
    buyerFindings: input.found.findings.filter((finding) => finding.reader === 'buyer'),
    claimLots: input.found.claimLots,
    curves: input.modeled.curves,
    buying: input.found.buying,
    merchandise: withoutPeople(input.found.merchandise),
    adjustedFor: input.modeled.adjustedFor,
    refused: input.found.refused.map(refusedRead),
    intake: intakeView(input),
  };
};

const refusedRead = ({ file, sender, stores, seenDay, reject }: RefusedFile): RefusedRead => ({
  file: file.replace(/^inbox\//, ''),
  sender,
  stores,
  seen: isoFromDay(seenDay),
  why: rejectCodes[reject.code].message,
  where: [reject.sourceLine > 0 ? `line ${reject.sourceLine}` : '', reject.field].filter(Boolean).join(', '),
  remedy: reject.remedy,
});

const placeOf = (row: { store: string; item: string }, habit: string): string =>
  `${row.store}\u0000${row.item}\u0000${habit}`;

const datedLosses = ({ found }: SitesInput): PeopleFree['losses'] => {
  const times = new Map<string, { since: string; isNew: boolean }>();
  for (const finding of found.findings.filter(({ status }) => status !== 'resolved')) {
    for (const item of finding.items ?? [finding.item]) {
      const key = placeOf({ store: finding.store, item }, finding.kind);
      const known = times.get(key);
      times.set(key, {
        since: known !== undefined && known.since < finding.since ? known.since : finding.since,
        isNew: finding.status === 'new' && known?.isNew !== false,
      });
    }
  }
  const timeOf = ({ store, item, habit }: LossRow): { since: string; isNew: boolean } =>
    times.get(placeOf({ store, item }, habit)) ??
    times.get(placeOf({ store, item: '' }, habit)) ?? { since: '', isNew: false };
  return found.losses.map((row) => ({ ...row, ...timeOf(row) }));
};

/** Tests that do not say when they were first there are of tonight. */
const isFirstNight = ({ measured: { tests }, asOfDay }: SitesInput): boolean =>
  !tests.columnNames().includes('seenDay') ||
  pickedRows<MeasuredTest, 'seenDay'>(tests, ['seenDay']).every(
    ({ seenDay = asOfDay }) => seenDay >= asOfDay,
  );

const endedHabits = ({ found, chain }: SitesInput): PeopleFree['ended'] => {
  const rooms = new Map(found.stores.map((row) => [row.store, row.cutters]));
  const stillThere = new Set(found.losses.map((row) => placeOf(row, row.habit)));
  const ended = found.findings
    .filter((row) => row.status === 'resolved' && isCostlyHabit(row.kind))
    .filter((row) => (rooms.get(row.store) ?? 0) >= chain.privacy.minimum_group)
    .filter((row) => !stillThere.has(placeOf(row, row.kind)))
    .map((row) => ({ store: row.store, item: row.item, habit: row.kind }));
  return [...new Map(ended.map((row) => [placeOf(row, row.habit), row])).values()];
};

/** The merchandise of a night without people. */
const withoutPeople = (night: MerchandiseNight): MerchandiseNight => ({
  ...night,
  portions: night.portions.filter((row) => row.cutter === ''),
});
