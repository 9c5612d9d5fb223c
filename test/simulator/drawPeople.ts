import { classNames, type HabitName, habitNames, type Shift } from './compositions.ts';
import type { Draws } from './seededDraws.ts';
import type { SimCutter, SimItem, SimStore, SimSupplier } from './simulated.ts';
import type { Settings } from './variants.ts';

/** Main cut, other cut, lean trim, fat, bone, waste, unaccounted of each item, per cent of drained; usual weight, lb. */
const itemTable: [string, number, number[]][] = [
  ['112A', 13, [70, 6, 12, 10, 0, 0.8, 1.2]],
  ['116A', 22, [58, 12, 17, 11, 0, 0.8, 1.2]],
  ['180', 12, [71, 3, 11, 13, 0, 0.8, 1.2]],
  ['184', 12.5, [66, 9, 13, 10, 0, 0.8, 1.2]],
  ['189A', 6, [64, 8, 14, 12, 0, 0.8, 1.2]],
  ['410', 17, [58, 6, 9, 10, 15, 0.8, 1.2]],
];
const regions = ['Harbor', 'Uplands', 'Plains', 'Lakes'];

export const drawItems = (settings: Settings, draws: Draws): SimItem[] =>
  itemTable.slice(0, settings.items).map(([item, typicalLb, shares]) => ({
    item,
    typicalLb,
    base: Object.fromEntries(classNames.map((name, k) => [name, (shares[k] as number) / 100])) as Shift,
    grades: { Choice: 0, Select: draws.between(-2.8, -1.6), Prime: draws.between(-1.6, -0.6) },
  }));

export const drawSuppliers = (settings: Settings, draws: Draws): SimSupplier[] =>
  Array.from({ length: 8 }, (_, k) => ({
    supplier: `Supplier ${String.fromCharCode(65 + k)}`,
    skill: settings.sd.supplier * draws.normal(),
    purge: draws.between(0.008, 0.018),
  }));

export const drawStores = (
  settings: Settings,
  { items, suppliers }: { items: readonly SimItem[]; suppliers: readonly SimSupplier[] },
  draws: Draws,
): SimStore[] => {
  const stores = Array.from({ length: settings.stores }, (_, s): SimStore => {
    const getsSelect = draws.chance(0.35);
    const selectShare = getsSelect ? draws.between(0.6, 0.9) : draws.between(0.1, 0.25);
    return {
      store: `s-${String(s + 1).padStart(3, '0')}`,
      region: regions[s % regions.length] as string,
      selectShare,
      heavier: getsSelect ? draws.between(0.05, 0.15) : draws.between(-0.05, 0.05),
      scaleDivisionLb: draws.chance(0.3) ? 0.05 : 0.01,
      weighed: draws.chance(0.7) ? 'in-bag' : 'drained',
      skill: settings.sd.store * draws.normal() + settings.skillPerSelect * (selectShare - 0.35),
      itemSkill: Object.fromEntries(items.map(({ item }) => [item, settings.sd.storeItem * draws.normal()])),
      suppliers: [draws.pick(suppliers), draws.pick(suppliers), draws.pick(suppliers)],
      room: undefined,
      change: undefined,
      isLone: s < settings.loneStores,
    };
  });
  return stores.map((store, s) => ({
    ...store,
    room: isEvery(s, settings.stores, settings.rooms)
      ? {
          kind: draws.pick(['main-to-fat', 'main-to-trim'] as const),
          size: draws.between(2.5, 4.5),
          item: draws.pick(items).item,
        }
      : undefined,
  }));
};

/** True for `some` places spread evenly over `all`. */
const isEvery = (place: number, all: number, some: number): boolean =>
  some > 0 && place % Math.floor(all / some) === 0 && place / Math.floor(all / some) < some;

export const drawCutters = (
  settings: Settings,
  {
    items,
    stores,
    firstDay,
    days,
  }: { items: readonly SimItem[]; stores: readonly SimStore[]; firstDay: number; days: number },
  draws: Draws,
): SimCutter[] => {
  const shared = stores.filter((store) => !store.isLone);
  return Array.from({ length: settings.cutters }, (_, c): SimCutter => {
    const isLone = c < settings.loneStores;
    const home = (isLone ? stores[c] : shared[c % shared.length]) as SimStore;
    const other = draws.pick(shared);
    const hasTwo = draws.chance(settings.twoStoreShare) && !isLone && other !== home;
    const isLearner = draws.chance(settings.learnerShare);
    return {
      cutter: `c-${String(1000 + 7 * c)}`,
      home,
      second: hasTwo ? other : undefined,
      pace: draws.between(0.4, 1.6),
      sinceDay: isLearner
        ? firstDay + Math.floor(days * draws.between(0.1, 0.5))
        : firstDay - Math.floor(draws.between(400, 4000)),
      skill: settings.sd.cutter * draws.normal(),
      itemSkill: Object.fromEntries(items.map(({ item }) => [item, settings.sd.cutterItem * draws.normal()])),
      habit: draws.chance(isLone ? 1 / 3 : settings.habitShare) ? drawHabit(items, draws) : undefined,
      drift:
        draws.chance(settings.driftShare) && !isLearner
          ? {
              day: firstDay + Math.floor(days * draws.between(0.35, 0.75)),
              size: (draws.chance(0.7) ? -1 : 1) * settings.residualSd * draws.between(1, 2),
            }
          : undefined,
      learning: isLearner ? draws.between(2, 4) : 0,
      inventor: draws.chance(settings.inventorShare),
      coached: undefined,
    };
  });
};

/** 2-6 points, on one item or on all; too much is rarer than too little. */
const drawHabit = (items: readonly SimItem[], draws: Draws): SimCutter['habit'] => {
  const costly = habitNames.filter((name) => name !== 'under-trimming');
  const kind: HabitName = draws.chance(0.15) ? 'under-trimming' : draws.pick(costly);
  const own = draws.chance(0.5) ? items.map(({ item }) => item) : [draws.pick(items).item];
  return { kind, size: draws.between(2, 6), items: own };
};
