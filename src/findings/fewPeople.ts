import { type ClassOutcome, classWords, type Outcome } from '../catalog/outcomes.ts';
import type { EffectRow } from '../model/modeled.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import { normalCdf, z975 } from '../tables/normalDistribution.ts';
import { chainNumbers } from './chainNumbers.ts';
import type { FindingRow } from './found.ts';
import { effectFacts, type GroupInput, wasSure } from './groupFindings.ts';
import { noMoney, writtenFinding } from './writtenFinding.ts';

/** With so many people or more the many say what is usual, and whoever is off it is told by a habit. */
const enoughPeople = 5;
const fewestTests = 8;

/** A room in which people differ on an item while nobody can say whether the room or which of them is off. */
export type RoomApart = { store: string; item: string; outcome: ClassOutcome };

/**
 * Where nobody knows whose way is the usual one, though two people of a room cut far apart: in a chain of two to four people,
 * and in a room where who differs from the others cuts as the chain does, or where it is open whether the room is off or who
 * shares a habit. The item is told on which the person with most and the one with least main cut (or what the room is apart
 * on) lie farther apart than the chain's threshold, at its chance; of the store, naming nobody.
 * `toldOn`: items on which a habit is told already.
 */
export const fewPeople = (
  input: GroupInput,
  { toldOn, roomsApart }: { toldOn: ReadonlySet<string>; roomsApart: readonly RoomApart[] },
): FindingRow[] => {
  const { chain, effects, used } = input;
  const isSmall = new Set(used.map(({ cutter }) => cutter)).size < enoughPeople;
  const people = effects.filter((row) => row.kind === 'cutter-item' && row.tests >= fewestTests);
  const ofMainCut = people.filter((row) => row.outcome === 'main_cut');
  const groups = isSmall
    ? [...groupedBy(ofMainCut, ({ item }) => item)].flatMap(([item, own]) => (toldOn.has(item) ? [] : [own]))
    : [
        ...groupedBy(roomsApart, ({ store, item, outcome }) =>
          [store, item, outcome].join('\u0000'),
        ).values(),
      ].map(([room]) =>
        people.filter(
          (row) => row.store === room?.store && row.item === room.item && row.outcome === room.outcome,
        ),
      );
  const gaps = groups.flatMap((group): Gap[] => {
    const own = group.sort((a, b) => b.effect - a.effect);
    const [most, least] = [own[0], own.at(-1)];
    return most !== undefined && least !== undefined && most !== least && most.store === least.store
      ? [{ most, least, ...sizeOf(most, least) }]
      : [];
  });
  const threshold = chain.thresholds.effect_points;
  const chanceOf = ({ gap, sd }: Gap, share = 1): number =>
    normalCdf(((gap - threshold) * Math.sqrt(share)) / sd);
  const clear = gaps.filter(
    (own) => own.gap > threshold && chanceOf(own) >= 1 - (1 - chain.thresholds.chance) / gaps.length,
  );
  const ofRooms = groupedBy(clear, ({ most }) => `${most.store}\u0000${most.item}`);
  return [...ofRooms.values()].map((room) => {
    const own = room.reduce((widest, one) => (one.gap > widest.gap ? one : widest));
    const { most, least, gap, sd } = own;
    const tests = used.filter(
      ({ item, cutter }) => item === most.item && (cutter === most.id || cutter === least.id),
    );
    return writtenFinding(
      {
        ...effectFacts(most, tests, input),
        kind: 'people-differ',
        store: most.store,
        item: most.item,
        effect: gap,
        low: gap - z975 * sd,
        high: gap + z975 * sd,
        chance: chanceOf(own),
        tests: most.tests + least.tests,
        status: wasSure((share) => chanceOf(own, share), tests, input) ? 'continuing' : 'new',
        comparedWith: isSmall
          ? 'each other; there are too few people to know what is usual'
          : 'each other; the tests do not tell which of them the room is like',
        money: noMoney,
        size: `${chainNumbers(chain).points.format(gap)} points of ${apartIn(most.outcome)}`,
      },
      chain,
    );
  });
};

const apartIn = (outcome: Outcome): string =>
  outcome === 'unaccounted' ? 'weight unaccounted for' : classWords[outcome as ClassOutcome];

type Gap = { most: EffectRow; least: EffectRow; gap: number; sd: number };

/** What both differ by, other effects taken out, and its SD: their common level falls out of it. */
const sizeOf = (most: EffectRow, least: EffectRow): Pick<Gap, 'gap' | 'sd'> => ({
  gap: most.effect - least.effect,
  sd: Math.hypot(most.differenceSd, least.differenceSd),
});
