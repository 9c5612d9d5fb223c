import { type BoundedTests, boundedTests } from './boundedTests.ts';
import { type CellFactor, type Coded, fitCells } from './cellFit.ts';
import { alike, type LevelEstimate, levelEstimates } from './levelEstimates.ts';
import type { FactorPosterior, MixtureEffects } from './mixed/mixtureEffects.ts';
import { otherSplits } from './otherSplits.ts';

/** Group codes of all tests: people, rooms, and each of them with the item. */
export type PeopleCodes = {
  cutter: Coded;
  store: Coded;
  cutterItem: Coded;
  storeItem: Coded;
};

export type FairEffects = {
  cutterItem: LevelEstimate[];
  storeItem: LevelEstimate[];
  cutter: LevelEstimate[];
  store: LevelEstimate[];
  /** By item: what cutters and stores like the many differ from expected by; few large habits move a mean, not this. */
  center: Float64Array;
  converged: boolean;
};

const reweightRounds = 2;

/**
 * Fair differences of cutters and stores, per item and over all items, from residuals of tests with known SDs: crossed
 * effects cutter x item, cutter, store x item and store with mixture priors, so that a whole room that differs is the
 * room's, a habit is not shrunk away, and what cannot be told apart is left wide. Tests are bounded (Huber), effects never.
 */
export const fairEffects = (
  residual: Float64Array,
  sd: Float64Array,
  { people, item }: { people: PeopleCodes; item: Coded },
): FairEffects => {
  const varying = [...sd.keys()].filter((i) => (sd[i] as number) > 0);
  const chosen = (values: Float64Array): Float64Array =>
    Float64Array.from(varying, (i) => values[i] as number);
  const part = ({ codes, levels }: Coded): Coded => ({
    codes: Int32Array.from(varying, (i) => codes[i] as number),
    levels,
  });
  const own: PeopleCodes = {
    cutter: part(people.cutter),
    store: part(people.store),
    cutterItem: part(people.cutterItem),
    storeItem: part(people.storeItem),
  };
  if (varying.length === 0) return nothingVaries(people, item.levels);
  const found = varyingEffects(chosen(residual), chosen(sd), { people: own, item: part(item) });
  const seen = ({ codes, levels }: Coded): boolean[] => {
    const is = new Array<boolean>(levels).fill(false);
    for (const code of codes) is[code] = true;
    return is;
  };
  const zeroUnseen = (key: keyof PeopleCodes): LevelEstimate[] => {
    const is = seen(own[key]);
    return found[key].map((estimate, g) => (is[g] === true ? estimate : alike));
  };
  return {
    cutterItem: zeroUnseen('cutterItem'),
    storeItem: zeroUnseen('storeItem'),
    cutter: zeroUnseen('cutter'),
    store: zeroUnseen('store'),
    center: found.center,
    converged: found.converged,
  };
};

const nothingVaries = (people: PeopleCodes, items: number): FairEffects => {
  const all = ({ levels }: Coded): LevelEstimate[] => new Array<LevelEstimate>(levels).fill(alike);
  return {
    cutterItem: all(people.cutterItem),
    storeItem: all(people.storeItem),
    cutter: all(people.cutter),
    store: all(people.store),
    center: new Float64Array(items),
    converged: true,
  };
};

const varyingEffects = (
  residual: Float64Array,
  sd: Float64Array,
  { people, item }: { people: PeopleCodes; item: Coded },
): FairEffects => {
  const factors = itemFactors(people, new Set(item.codes).size === 1);
  const isShared = factors.length > 2;
  let bounded: BoundedTests = { weights: new Float64Array(residual.length).fill(1), noise: 1 };
  let perItem = fitCells(residual, sd, { ...bounded, factors, item });
  for (let round = 0; round < reweightRounds; round++) {
    bounded = boundedTests(residual, sd, perItem);
    perItem = fitCells(residual, sd, { ...bounded, factors, item, begin: perItem.found });
  }
  const center = perItem.center;
  const whole = fitCells(
    residual.map((value, i) => value - (center[item.codes[i] as number] as number)),
    sd,
    {
      ...bounded,
      factors: wholeFactors(people),
      item: { codes: new Int32Array(residual.length), levels: 1 },
    },
  );
  const mates = {
    cutter: parentsOf(people.cutterItem, people.cutter),
    store: parentsOf(people.storeItem, people.store),
  };
  const testVariance = meanBy(
    Float64Array.from(sd, (value) => value * value),
    people,
  );
  const onItems = otherSplits(
    {
      people: levelEstimates(perItem.found, isShared ? [0, 2] : [0], mates.cutter, testVariance.cutterItem),
      rooms: levelEstimates(perItem.found, isShared ? [1, 3] : [1], mates.store, testVariance.storeItem),
    },
    peopleAndRooms(perItem.found),
    ownMembers(people.cutterItem, people.storeItem),
  );
  const onAll = otherSplits(
    {
      people: levelEstimates(whole.found, [0], undefined, testVariance.cutter),
      rooms: levelEstimates(whole.found, [1], undefined, testVariance.store),
    },
    peopleAndRooms(whole.found),
    ownMembers(people.cutter, people.store),
  );
  return {
    cutterItem: onItems.people,
    storeItem: onItems.rooms,
    cutter: onAll.people,
    store: onAll.rooms,
    center,
    converged: perItem.found.converged && whole.found.converged,
  };
};

/** Where an outcome varies on one item alone, what is of the item and what is of the person are the same: it is fitted once. */
const itemFactors = (people: PeopleCodes, isOneItem: boolean): CellFactor[] => [
  { ...people.cutterItem, hasOutliers: true },
  { ...people.storeItem, hasOutliers: true },
  ...(isOneItem
    ? []
    : [
        { ...people.cutter, hasOutliers: true },
        { ...people.store, hasOutliers: false },
      ]),
];
const wholeFactors = (people: PeopleCodes): CellFactor[] => [
  { ...people.cutter, hasOutliers: true },
  { ...people.store, hasOutliers: true },
];

/** Code of the parent (cutter, store) of each child level (cutter x item, store x item). */
const parentsOf = (child: Coded, parent: Coded): Int32Array => {
  const parents = new Int32Array(child.levels);
  for (const [i, code] of child.codes.entries()) parents[code] = parent.codes[i] as number;
  return parents;
};

const peopleAndRooms = ({ factors }: MixtureEffects): [FactorPosterior, FactorPosterior] =>
  factors.slice(0, 2) as [FactorPosterior, FactorPosterior];

/** People by room, without those who cut in other rooms too. */
const ownMembers = (person: Coded, room: Coded): number[][] => {
  const roomsOf = Array.from({ length: person.levels }, () => new Set<number>());
  for (const [i, level] of person.codes.entries()) roomsOf[level]?.add(room.codes[i] as number);
  const members = Array.from({ length: room.levels }, (): number[] => []);
  for (const [level, rooms] of roomsOf.entries())
    if (rooms.size === 1) for (const own of rooms) members[own]?.push(level);
  return members;
};

const meanBy = (values: Float64Array, people: PeopleCodes): Record<keyof PeopleCodes, Float64Array> => {
  const means = ({ codes, levels }: Coded): Float64Array => {
    const sums = new Float64Array(levels);
    const counts = new Float64Array(levels);
    for (const [i, code] of codes.entries()) {
      sums[code] = (sums[code] as number) + (values[i] as number);
      counts[code] = (counts[code] as number) + 1;
    }
    return sums.map((sum, g) => sum / (counts[g] as number));
  };
  return {
    cutter: means(people.cutter),
    store: means(people.store),
    cutterItem: means(people.cutterItem),
    storeItem: means(people.storeItem),
  };
};
