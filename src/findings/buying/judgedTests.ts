import type { MeasuredTest } from '../../measure/measured.ts';
import { remembered } from '../../tables/remembered.ts';
import { monthOf } from '../../units/calendarDay.ts';
import { stretchOf } from './bagLosses.ts';
import { type ClaimKind, lostPercent } from './claims.ts';

/** A test as a claim sees it: what it lost, %, a number for its lot, and the tests it is like, the closest first, where it is set beside these. */
export type Judged = {
  test: MeasuredTest;
  percent: number;
  lot: number;
  like: readonly (readonly Judged[])[];
};

/** Tests that tell what a claim of a kind is about. */
export const judgedTests = (used: readonly MeasuredTest[], kind: ClaimKind): Judged[] => {
  const lots = new Map<string, number>();
  const likenesses = kind.beside?.what === 'like pieces' ? likeness : [];
  const cells = likenesses.map(() => new Map<string, Judged[]>());
  return used.flatMap((test): Judged[] => {
    const percent = lostPercent(kind, test);
    if (!Number.isFinite(percent)) return [];
    const like = likenesses.map((keyOf, k) =>
      remembered(cells[k] as (typeof cells)[number], keyOf(test), () => []),
    );
    const one = { test, percent, lot: remembered(lots, lotOf(test), () => lots.size), like };
    for (const cell of like) cell.push(one);
    return [one];
  });
};

/** The lot of a test, or the month where none is given. */
const lotOf = ({ supplier, plant, lot, cutDay }: MeasuredTest): string =>
  (lot ? [supplier, plant, lot] : [supplier, monthOf(cutDay)]).join('\u0000');

/** How like pieces are compared, the closest first. */
const likeness: readonly ((test: MeasuredTest) => string)[] = [
  (test) => [test.item, test.spec, test.treatment, stretchOf(test)].join('\u0000'),
  (test) => [test.item, test.spec, test.treatment].join('\u0000'),
];
