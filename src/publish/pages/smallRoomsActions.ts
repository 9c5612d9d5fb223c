import type { Action } from './actions.tsx';
import type { Formats } from './formats.ts';
import { habitName } from './habitWords.ts';
import type { NamedSum, ShownLosses } from './losses.ts';
import { moneyAside } from './moneyText.ts';
import type { Names } from './names.ts';

/** Words about rooms with fewer cutters than `minimumGroup`; `span` is what their money runs over. */
export type SmallRoomsWords = { called: Names; write: Formats; minimumGroup: number; span: string };

/** A region's name; stores without one have none. */
export const regionName = (region: string): string => region || 'no region';

/** Where the small rooms' money mostly lies, one thing at a time, as a sentence without amounts; '' where none may be named. */
export const smallRoomsMost = (
  { apart }: ShownLosses,
  { called }: Pick<SmallRoomsWords, 'called'>,
): string => {
  const most = [
    ...apart.region.slice(0, 1).map((sum) => `by region: ${regionName(sum.name)}`),
    ...apart.item.slice(0, 1).map((sum) => `by item: ${called.item(sum.name)}`),
    ...apart.habit.slice(0, 1).map((sum) => `by habit: ${habitName(sum.name)}`),
  ];
  return most.length === 0 ? '' : ` Most ${most.join('; ')}.`;
};

/** What to ask of the trainer where the money lies in rooms too small to show: the dearest region and the dearest item. */
export const smallRoomsActions = (
  { apart }: ShownLosses,
  words: SmallRoomsWords,
): (Action & { money: number })[] => {
  const { called, write, minimumGroup, span } = words;
  const action = (sum: NamedSum, what: string, why: string) => ({
    money: sum.value,
    what,
    why: `${sum.stores} stores with fewer than ${minimumGroup} cutters lose it, told from ${write.tests(sum.tests)}. ${why}`,
    next: '',
    ...moneyAside(sum, span, write),
    links: [],
  });
  const small = `stores with fewer than ${minimumGroup} cutters`;
  return [
    ...apart.region
      .slice(0, 1)
      .map((sum) =>
        action(
          sum,
          sum.name === ''
            ? `Have the trainer visit the ${small}`
            : `Have the trainer visit the ${small} in ${sum.name} first`,
          'The trainer’s pages say which of them, and whom to work with.',
        ),
      ),
    ...apart.item
      .slice(0, 1)
      .map((sum) =>
        action(
          sum,
          `Have the trainer work on ${called.item(sum.name)} in ${small}`,
          'It is part of the same money, told by item.',
        ),
      ),
  ];
};
