import type { Chain } from '../../catalog/chain.ts';
import { itemEntry } from '../../catalog/itemEntry.ts';
import { weightClassOf } from '../../catalog/weightClassOf.ts';
import type { FindingKindName } from '../../faults/findingKinds.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import { kilogramsPer } from '../../units/weight.ts';

/** One thing a buyer can claim: what a test lost of it in kg (or whole pieces), and what is usual, % of billed or pieces. */
export type ClaimKind = {
  kind: FindingKindName;
  /** NaN where the test does not tell. */
  lost: (test: MeasuredTest) => number;
  /** Billed kg, or pieces. */
  of: (test: MeasuredTest) => number;
  usualPercent: number;
  /** Points above the usual, and above like tests of other suppliers, to be passed; undefined: the usual allows for all that is not owed. */
  margin: number | undefined;
  inPieces: boolean;
};

/** What is usual: of purge as the chain says, as even the best bags lose some; of short weight and pieces, common practice, no source. */
export const claimKinds = (chain: Chain): ClaimKind[] => [
  {
    kind: 'purge-high',
    lost: (test) => test.purgeOfBilled * test.billedFilledKg,
    of: (test) => test.billedFilledKg,
    usualPercent: chain.claims.usual_purge,
    margin: chain.claims.margin,
    inPieces: false,
  },
  {
    kind: 'short-weight',
    lost: (test) => test.shortKg,
    of: (test) => test.billedFilledKg,
    usualPercent: 0.25,
    margin: undefined,
    inPieces: false,
  },
  {
    kind: 'out-of-range-pieces',
    lost: (test) => {
      const isKnown = itemEntry(chain, test)?.weight_classes.some((one) => one.name === test.boughtClass);
      const packed = packedPieceKg(test) / kilogramsPer(chain.unit);
      if (isKnown !== true || Number.isNaN(packed)) return Number.NaN;
      return weightClassOf(chain, test, packed) === test.boughtClass ? 0 : test.piecesIn;
    },
    of: (test) => test.piecesIn,
    usualPercent: 20,
    margin: undefined,
    inPieces: true,
  },
];

/** Share lost in one test, %; NaN where it does not tell. */
export const lostPercent = ({ lost, of }: ClaimKind, test: MeasuredTest): number =>
  (100 * lost(test)) / of(test);

/** Weight of a piece as packed, kg: ranges are sold by it, so what the bag drained is not held against the piece. */
const packedPieceKg = (test: MeasuredTest): number =>
  (test.drainedKg + (Number.isNaN(test.purgeFilledKg) ? 0 : test.purgeFilledKg)) / test.piecesIn;
