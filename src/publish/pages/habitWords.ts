/** What a habit is called where no person may be named, and what a director asks for. Unknown habits keep their own words. */
const habits: Record<string, { name: string; ask: (store: string, item: string) => string }> = {
  'room-habit': {
    name: 'whole room trims too deep',
    ask: (store, item) => `Send the trainer to ${store}: the whole room trims too deep on ${item}`,
  },
  'over-trimming': {
    name: 'trimmed too deep',
    ask: (store, item) => `Have the trainer work on trimming at ${store}: ${item}`,
  },
  'missing-product': {
    name: 'weight not accounted for',
    ask: (store, item) => `Have every tub weighed at ${store}: ${item}`,
  },
  'unweighed-trim': {
    name: 'trim not weighed',
    ask: (store, item) => `Have the trim tub weighed at ${store}: ${item}`,
  },
};

/** A habit's name in plain words. */
export const habitName = (habit: string): string => habits[habit]?.name ?? habit.replaceAll('-', ' ');

/** What to ask for where a habit costs money. */
export const habitAsk = (habit: string, store: string, item: string): string =>
  habits[habit]?.ask(store, item) ?? `Look into ${habitName(habit)} at ${store}: ${item}`;
