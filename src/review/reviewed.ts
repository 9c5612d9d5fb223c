import type { ScreenedNight } from '../screen/screened.ts';

/** The weights of a test that a repair may change; `output` is one output line. */
export type RepairedField = 'received' | 'purge' | 'added' | 'billed' | 'unit_cost' | 'output';

/** One changed weight of a repaired test: as sent and as repaired, kg (unit_cost: money per kg). Undone by `sent`. */
export type RepairRow = {
  store: string;
  testId: string;
  field: RepairedField;
  /** Name of the output line; '' for a weight of the test. */
  output: string;
  sent: number;
  repaired: number;
  reason: string;
  chance: number;
  cause: string;
};

/**
 * The screened tables with the review's verdicts (state, reasons, cause, causeChance) and repaired weights in place of those
 * sent; every replaced number is a row of `repairs`. `changed` = something was said or done: measure once more; `refit` =
 * which tests are used, or their weights, changed: fit once more.
 */
export type ReviewedNight = {
  screened: ScreenedNight;
  repairs: RepairRow[];
  changed: boolean;
  refit: boolean;
};
