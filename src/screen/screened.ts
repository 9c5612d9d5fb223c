import type { ColumnTable } from 'arquero';

/** Verdict per test in the order of the tests table: state 'used' or 'held'; reasons are codes joined by ';'. */
export type ScreenedNight = { tests: ColumnTable; outputs: ColumnTable };
export type ScreenColumns = { state: string; reasons: string };
