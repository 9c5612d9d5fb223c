import type { ReferenceEvent } from './ledger.ts';

/** The content of each reference table to use ('' = none), and the events to remember. */
export type ReferenceInForce = { shaOf: Map<string, string>; events: ReferenceEvent[] };

/**
 * Which content of each reference table was in force on a day. `current`: the tables in the folder now. Content that is
 * new counts from this day on; a rerun for a past day uses what had been seen by then, or the first that was ever seen.
 */
export const referenceInForce = (
  events: readonly ReferenceEvent[],
  current: readonly { table: string; sha256: string }[],
  asOfDay: number,
): ReferenceInForce => {
  const tables = [...new Set([...events, ...current].map((one) => one.table))].sort();
  const found: ReferenceInForce = { shaOf: new Map(), events: [...events] };
  for (const table of tables) {
    const own = events.filter((event) => event.table === table);
    const now = current.find((one) => one.table === table)?.sha256 ?? '';
    const before = own.filter((event) => event.seenDay <= asOfDay).sort((a, b) => a.seenDay - b.seenDay);
    const isSeenLater = own.some((event) => event.seenDay > asOfDay && event.sha256 === now);
    const last = before.at(-1) ?? (isSeenLater ? own[0] : undefined);
    if (last?.sha256 === now || isSeenLater) {
      found.shaOf.set(table, last?.sha256 ?? now);
      continue;
    }
    found.shaOf.set(table, now);
    found.events.push({ table, sha256: now, seenDay: asOfDay });
  }
  return found;
};
