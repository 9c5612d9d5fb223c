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
  /** The usual in words. */
  usually: (percent: string) => string;
  /** Points above the usual to be passed; 0: the usual allows for all that is not owed. */
  margin: number;
  /** What it is set beside, and by how many points it must be above that: like pieces of others, or others' in the same store. */
  beside?: { what: 'like pieces' | 'same store'; margin: number };
  inPieces: boolean;
};

/** Billed weight that did not arrive: as the store's own scale says, so a supplier is set beside the others at the same scale. */
export const shortWeight = ({ claims }: Pick<Chain, 'claims'>): ClaimKind => ({
  kind: 'short-weight',
  lost: (test) => test.shortKg,
  of: (test) => test.billedFilledKg,
  usualPercent: claims.usual_short,
  usually: (percent) => `the ${percent} % allowed, which is not claimed`,
  margin: 0,
  beside: { what: 'same store', margin: claims.usual_short },
  inPieces: false,
});

/** What is usual: of purge and short weight as the chain says, as even the best bags lose some and scales differ; of pieces, common practice, no source. */
export const claimKinds = (chain: Chain): ClaimKind[] => [
  {
    kind: 'purge-high',
    lost: (test) => test.purgeOfBilled * test.billedFilledKg,
    of: (test) => test.billedFilledKg,
    usualPercent: chain.claims.usual_purge,
    usually: (percent) => `the usual ${percent} %`,
    margin: chain.claims.margin,
    beside: { what: 'like pieces', margin: chain.claims.margin },
    inPieces: false,
  },
  shortWeight(chain),
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
    usually: (percent) => `the usual ${percent} %`,
    margin: 0,
    inPieces: true,
  },
];

/** Share lost in one test, %; NaN where it does not tell. */
export const lostPercent = ({ lost, of }: ClaimKind, test: MeasuredTest): number =>
  (100 * lost(test)) / of(test);

/** Weight of a piece as packed, kg: ranges are sold by it, so what the bag drained is not held against the piece. */
const packedPieceKg = (test: MeasuredTest): number =>
  (test.drainedKg + (Number.isNaN(test.purgeFilledKg) ? 0 : test.purgeFilledKg)) / test.piecesIn;
