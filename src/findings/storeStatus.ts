import type { Chain } from '../catalog/chain.ts';
import { findingWords, stepOf } from '../faults/findingKinds.ts';
import type { RefusedFile } from '../ingest/ingested.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import type { ReferenceTables } from '../normalize/normalized.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import type { FindingRow, StoreStatusRow } from './found.ts';
import { findingId } from './habitFinding.ts';

type StoreSources = {
  tests: readonly MeasuredTest[];
  reference: ReferenceTables;
  refused: readonly RefusedFile[];
};

/**
 * Every store known or seen: its last test, tests held, cutters, and whether it has been silent too long: it sends where its
 * sheets are old, and where its files were refused whole, though nothing of them is read. When the sheets of the lake's
 * first night were sent is not known; they count by the day of the cut alone.
 */
export const storeStatus = (
  { tests, reference, refused }: StoreSources,
  chain: Chain,
  asOfDay: number,
): StoreStatusRow[] => {
  const entries = new Map(reference.stores.map((row) => [row.store, row]));
  const seen = seenStores(tests);
  const files = new Map<string, number>();
  for (const store of refused.flatMap((file) => file.stores)) files.set(store, (files.get(store) ?? 0) + 1);
  // where the chain lists its stores, a name that is none may be a slip in a refused file
  const sent = [...files.keys()].filter((store) => entries.size === 0 || entries.has(store));
  return [...new Set([...entries.keys(), ...seen.keys(), ...sent])].sort().map((store) => {
    const own = seen.get(store);
    const last = own?.last ?? Number.NEGATIVE_INFINITY;
    const lastSent = own?.lastSent ?? Number.NEGATIVE_INFINITY;
    const firstRecent = asOfDay - chain.freshness.stale_after_days;
    const [isRecent, isSent] = [last >= firstRecent, lastSent >= firstRecent];
    const refusedFiles = files.get(store) ?? 0;
    return {
      store,
      name: entries.get(store)?.name ?? store,
      region: entries.get(store)?.region ?? '',
      lastTest: Number.isFinite(last) ? isoFromDay(last) : '',
      lastSent: Number.isFinite(lastSent) ? isoFromDay(lastSent) : '',
      tests: own?.tests ?? 0,
      held: own?.held ?? 0,
      cutters: own?.cutters.size ?? 0,
      silent: !isRecent && !isSent && refusedFiles === 0,
      refusedFiles,
      sentButRefused: !isRecent && refusedFiles > 0,
      sentButOld: !isRecent && isSent && refusedFiles === 0,
    };
  });
};

type SeenStore = { tests: number; held: number; last: number; lastSent: number; cutters: Set<string> };

/** What the tests in force say of each store. */
const seenStores = (tests: readonly MeasuredTest[]): Map<string, SeenStore> => {
  const none = Number.NEGATIVE_INFINITY;
  let firstNight = Number.POSITIVE_INFINITY;
  for (const { seenDay = none } of tests) firstNight = Math.min(firstNight, seenDay);
  const seen = new Map<string, SeenStore>();
  for (const { store, cutter, cutDay, state, seenDay = none } of tests) {
    const own = seen.get(store) ?? { tests: 0, held: 0, last: none, lastSent: none, cutters: new Set() };
    seen.set(store, own);
    own.tests++;
    own.held += state === 'held' ? 1 : 0;
    own.last = Math.max(own.last, cutDay);
    if (seenDay > firstNight) own.lastSent = Math.max(own.lastSent, seenDay);
    own.cutters.add(cutter);
  }
  return seen;
};

/** The last day on which something of a store is known, as a cut or as sent; '' = never. */
const lastHeard = ({ lastTest, lastSent }: StoreStatusRow): string =>
  lastTest > lastSent ? lastTest : lastSent;

/** A finding for each silent store. */
export const silentFindings = (
  stores: readonly StoreStatusRow[],
  chain: Chain,
  asOfDay: number,
): FindingRow[] =>
  stores
    .filter((store) => store.silent)
    .map((store) => ({
      findingId: findingId('silent-store', store.store, '', ''),
      kind: 'silent-store',
      reader: 'director',
      region: store.region,
      store: store.store,
      cutter: '',
      item: '',
      outcome: 'tests',
      status: becameSilent(store, chain, asOfDay) ? 'new' : 'continuing',
      since: store.lastTest,
      effect: Number.NaN,
      low: Number.NaN,
      high: Number.NaN,
      chance: 1,
      moneyPerWeek: Number.NaN,
      moneyLow: Number.NaN,
      moneyHigh: Number.NaN,
      tests: store.tests,
      comparedWith: 'the days that the chain allows',
      ...findingWords('silent-store', {
        who: store.store,
        item: '',
        size: lastHeard(store) || 'the beginning',
        range: '',
        tests: '',
        against: '',
        money: '',
        went: '',
      }),
      evidence: [],
      adjustments: [],
      step: stepOf('silent-store'),
    }));

/** True on the first night on which the store counts as silent. */
const becameSilent = (store: StoreStatusRow, chain: Chain, asOfDay: number): boolean =>
  lastHeard(store) === isoFromDay(asOfDay - chain.freshness.stale_after_days - 1);
