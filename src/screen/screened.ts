import type { ColumnTable } from 'arquero';

/**
 * Verdict per test in the order of the tests table: state 'used' or 'held' (the review adds 'repaired'); reasons are codes
 * joined by ';'; `cause` says in words what is likely wrong and what to weigh again ('' = nothing) and `causeChance` how sure
 * that is (0-1, NaN = not reviewed): both are filled by the review.
 */
export type ScreenedNight = { tests: ColumnTable; outputs: ColumnTable };
export type ScreenColumns = { state: string; reasons: string; cause: string; causeChance: number };
