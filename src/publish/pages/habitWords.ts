import { classWords } from '../../catalog/outcomes.ts';

type HabitWords = {
  name: string;
  /** What happens there, after `where`; `went`: the class that most of the weight went to. */
  happens: (item: string, went: string) => string;
  ask: (store: string, item: string) => string;
};

/** Where main cut that is trimmed away goes. */
export const trimmedAway = (item: string, went: string): string => {
  if (went === classWords.lean_trim) return `main cut of ${item} goes into the trim tub`;
  return `main cut of ${item} is cut off ${went === classWords.fat ? 'with the fat' : 'with fat and trim'}`;
};

/** What a habit is called where no person may be named, and what a director asks for. Unknown habits keep their own words. */
const habits: Record<string, HabitWords> = {
  'room-habit': {
    name: 'whole room trims too deep',
    happens: (item) => `the whole room trims too deep on ${item}`,
    ask: (store, item) => `Send the trainer to ${store}: the whole room trims too deep on ${item}`,
  },
  'over-trimming': {
    name: 'trimmed too deep',
    happens: trimmedAway,
    ask: (store, item) => `Have the trainer work on trimming at ${store}: ${item}`,
  },
  'left-elsewhere': {
    name: 'left on the bone or another cut',
    happens: (item) => `main cut of ${item} stays on the bone or another cut`,
    ask: (store, item) => `Have the trainer look at bones and seams at ${store}: ${item}`,
  },
  'unweighed-trim': {
    name: 'trim not weighed',
    happens: (item) => `trim of ${item} is missing from the sheets`,
    ask: (store, item) => `Have the trim tub weighed at ${store}: ${item}`,
  },
  'missing-product': {
    name: 'weight not accounted for',
    happens: (item) => `weight of ${item} goes missing from the sheets`,
    ask: (store, item) => `Have every tub weighed at ${store}: ${item}`,
  },
  'loss-high': {
    name: 'weight missing in the whole room',
    happens: (item) => `weight of ${item} goes missing in the whole room`,
    ask: (store, item) => `Have one test weighed output by output at ${store}: ${item}`,
  },
  drift: {
    name: 'yield fallen',
    happens: (item) => `less is got out of ${item} than some time ago`,
    ask: (store, item) => `Have the trainer ask what changed at ${store}: ${item}`,
  },
};

/** Whether a kind of finding is a habit that costs money where no person may be named. */
export const isCostlyHabit = (kind: string): boolean => kind in habits;

/** A habit's name in plain words. */
export const habitName = (habit: string): string => habits[habit]?.name ?? habit.replaceAll('-', ' ');

/** What goes on where a habit costs money, as the end of a sentence. */
export const habitHappens = (habit: string, item: string, went = ''): string =>
  habits[habit]?.happens(item, went) ?? `${habitName(habit)} costs money on ${item}`;

/** What to ask for where a habit costs money. */
export const habitAsk = (habit: string, store: string, item: string): string =>
  habits[habit]?.ask(store, item) ?? `Look into ${habitName(habit)} at ${store}: ${item}`;
