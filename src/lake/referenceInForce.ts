import type { ReferenceEvent } from './ledger.ts';

export type ReferenceInForce = {
  /** The content of each reference table to use; '' = none. */
  shaOf: Map<string, string>;
  /** The events to remember. */
  events: ReferenceEvent[];
  /** Tables in the folder that are not as any night has seen them last, and that a rerun leaves for the next night. */
  left: string[];
};

/**
 * Which content of each reference table was in force on a day. `current`: the tables in the folder now. Content that is
 * new counts from this day on; a rerun for a past day uses what had been seen by then and takes in nothing new.
 */
export const referenceInForce = (
  events: readonly ReferenceEvent[],
  current: readonly { table: string; sha256: string }[],
  { asOfDay, isRerun }: { asOfDay: number; isRerun: boolean },
): ReferenceInForce => {
  const tables = [...new Set([...events, ...current].map((one) => one.table))].sort();
  const found: ReferenceInForce = { shaOf: new Map(), events: [...events], left: [] };
  for (const table of tables) {
    const own = events.filter((event) => event.table === table).sort((a, b) => a.seenDay - b.seenDay);
    const now = current.find((one) => one.table === table)?.sha256 ?? '';
    const then = own.filter((event) => event.seenDay <= asOfDay).at(-1)?.sha256 ?? '';
    found.shaOf.set(table, isRerun ? then : now);
    if ((own.at(-1)?.sha256 ?? '') === now) continue;
    if (isRerun) found.left.push(table);
    else found.events.push({ table, sha256: now, seenDay: asOfDay });
  }
  return found;
};
