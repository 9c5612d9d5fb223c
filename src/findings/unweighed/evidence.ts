import { mean } from 'simple-statistics';
import type { StoreRow } from '../../normalize/normalized.ts';
import type { TimeLevels } from '../change/timeLevels.ts';
import { type DigitEvidence, endDigits } from './endDigits.ts';
import { pValueEvidence, together } from './eValues.ts';
import { type BalanceEvidence, perfectBalance } from './perfectBalance.ts';
import { type RepeatEvidence, repeatedShares } from './repeatedShares.ts';
import { type RoundSheets, roundSheets } from './roundSheets.ts';
import { scaleSteps } from './scaleSteps.ts';
import type { Sheets } from './sheets.ts';
import { type SpreadEvidence, smallSpread } from './smallSpread.ts';

/** From this e-value on a kind of evidence is told. */
export const speaks = 10;

export type Evidence = {
  digits: DigitEvidence;
  round: RoundSheets;
  balance: BalanceEvidence;
  repeats: RepeatEvidence;
  spread: SpreadEvidence;
};

/** All that speaks for sheets that were written, by code of the cutter in `all`. */
export const evidenceOf = (all: Sheets, levels: TimeLevels, stores: readonly StoreRow[]): Evidence[] => {
  const step = scaleSteps(all, new Map(stores.map((row) => [row.store, row.scaleDivisionKg])));
  const digits = endDigits(all, step);
  const round = roundSheets(all, step);
  const balances = perfectBalance(all, step);
  const repeats = repeatedShares(all, step);
  const spreads = smallSpread(levels.people, levels.scale);
  const placeOf = new Map(levels.people.cutter.levels.map((name, place) => [name, place]));
  return all.cutters.map((name, code) => ({
    digits: digits[code] as DigitEvidence,
    round: round[code] as RoundSheets,
    balance: balances[code] as BalanceEvidence,
    repeats: repeats[code] as RepeatEvidence,
    spread: spreads[placeOf.get(name) ?? -1] ?? { spread: Number.NaN, near: Number.NaN },
  }));
};

/** e-values of the kinds that no honest way of weighing shows. */
const hard = ({ round, balance, repeats }: Evidence): number[] => [round.coarse, balance.e, repeats.e];
/** Those that a second scale in use now and then, lines rounded by hand or a steady hand show as well. */
const soft = ({ digits, round, spread }: Evidence): number[] => [
  meanOfKnown([pValueEvidence(digits.p), round.fine]),
  spreadOf(spread),
];
export const spreadOf = ({ spread, near }: SpreadEvidence): number =>
  meanOfKnown([pValueEvidence(spread), near]);

const meanOfKnown = (tries: readonly number[]): number => {
  const known = tries.filter((e) => !Number.isNaN(e));
  return known.length === 0 ? Number.NaN : mean(known);
};

/**
 * e-value of each cutter over all kinds, 0 where no hard kind speaks. A soft kind multiplies it by no more than one in as many as show it:
 * for so many at most the harmless reason holds.
 */
export const combinedEvidence = (all: readonly Evidence[]): number[] => {
  const softs = all.map(soft);
  const most = (softs[0] ?? []).map(
    (_, kind) => all.length / Math.max(1, softs.filter((own) => (own[kind] as number) > speaks).length),
  );
  return all.map((own, cutter) => {
    const hardOnes = hard(own);
    if (!(together(hardOnes) >= speaks)) return 0;
    const bounded = (softs[cutter] as number[]).map((e, kind) => Math.min(e, most[kind] as number));
    return together([...hardOnes, ...bounded]);
  });
};
