/** What a simulated chain is drawn from. SDs and sizes in points of drained weight. */
export type Settings = {
  stores: number;
  cutters: number;
  items: number;
  months: number;
  tests: number;
  twoStoreShare: number;
  residualSd: number;
  /** SDs of the true differences. */
  sd: Record<'cutter' | 'cutterItem' | 'store' | 'storeItem' | 'supplier' | 'lot', number>;
  habitShare: number;
  errorShare: number;
  copiedShare: number;
  inventedShare: number;
  /** Pieces in a test, drawn evenly. */
  pieces: readonly number[];
  /** Share of the residual variance that does not shrink with the pieces. */
  fixedNoise: number;
  /** SD of the error of the received weight, as a share of it. */
  weighingError: number;
  /** Points of saleable over weight; 0 = lightest usual piece, 1 = heaviest. */
  curve: (weight: number) => number;
  /** How many points a store loses as its Select share goes from 0 to 1. */
  skillPerSelect: number;
  rooms: number;
  loneStores: number;
  adWeek: boolean;
  driftShare: number;
  storeChanges: number;
  learnerShare: number;
  coachedShare: number;
  inventorShare: number;
};

const base: Settings = {
  stores: 60,
  cutters: 220,
  items: 6,
  months: 14,
  tests: 15000,
  twoStoreShare: 0.12,
  residualSd: 1.9,
  sd: { cutter: 0.7, cutterItem: 0.45, store: 0.6, storeItem: 0.3, supplier: 0.6, lot: 0.4 },
  habitShare: 0.08,
  errorShare: 0.013,
  copiedShare: 0.003,
  inventedShare: 0.01,
  pieces: [1],
  fixedNoise: 0.25,
  weighingError: 0,
  curve: (weight) => 2 * weight - 6 * (weight - 0.5) ** 2,
  skillPerSelect: 0,
  rooms: 0,
  loneStores: 0,
  adWeek: false,
  driftShare: 0,
  storeChanges: 0,
  learnerShare: 0,
  coachedShare: 0,
  inventorShare: 0,
};

/** Chains by name: what differs from the base. */
export const variants = {
  base: {},
  /** No true differences between people or stores; pieces, months and suppliers still differ, and sheets have errors. */
  zero: { sd: { ...base.sd, cutter: 0, cutterItem: 0, store: 0, storeItem: 0 }, habitShare: 0 },
  /** In ten stores the whole room over-trims one item; no person has a habit. */
  room: { habitShare: 0, rooms: 10 },
  /** Half the stores have one cutter, who works nowhere else; a third of these have a habit. */
  onecutter: { loneStores: 30, cutters: 150 },
  boxes: { pieces: [1, 2, 6] },
  weighing: { weighingError: 0.01 },
  skillgrade: { skillPerSelect: -2 },
  curves: { curve: (weight: number) => 3 * Math.sin(3 * weight) - 4 * Math.max(0, weight - 0.7) },
  adweek: { adWeek: true },
  /** A fifth of the cutters change on one day; two stores change as a whole; a few are beginners. */
  drift: { driftShare: 0.2, storeChanges: 2, learnerShare: 0.04 },
  coaching: { coachedShare: 0.2 },
  /** Every tenth cutter writes a third of the tests without weighing. */
  inventors: { inventorShare: 0.1 },
} as const satisfies Record<string, Partial<Settings>>;
export type VariantName = keyof typeof variants;
export const variantNames = Object.keys(variants) as VariantName[];

export const settingsOf = (name: VariantName): Settings => ({ ...base, ...variants[name] });
