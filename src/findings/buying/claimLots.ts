import { mean, sampleVariance } from 'simple-statistics';
import type { Chain } from '../../catalog/chain.ts';
import type { FindingKindName } from '../../faults/findingKinds.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { ratioEstimate } from '../../tables/ratioEstimate.ts';
import { findingId } from '../habitFinding.ts';
import type { ClaimLotRow } from './buyingRows.ts';
import { type ClaimKind, claimKinds, lostPercent } from './claims.ts';
import { type ClearClaim, clearClaims } from './clearClaims.ts';
import type { Judged } from './judgedTests.ts';

/** Lots cut within so many days stand first: an old one is hard to claim on (common practice, no source). */
const recentDays = 91;

/**
 * Lots of the suppliers with a claim, surely above what is usual: by themselves, and where the supplier as a whole is, also as
 * one of its lots. Within each kind and supplier recent lots first, of these the most to claim.
 */
export const claimLots = (
  used: readonly MeasuredTest[],
  findings: readonly { findingId: string }[],
  { chain, asOfDay }: { chain: Chain; asOfDay: number },
): ClaimLotRow[] => {
  const claimed = new Set(findings.map((finding) => finding.findingId));
  return claimKinds(chain).flatMap((kind) => {
    const { claims, counted } = clearClaims(used, kind, chain);
    const bySupplier = groupedBy(counted, (test) => test.supplier);
    return [...bySupplier.keys()]
      .sort()
      .filter((supplier) => claimed.has(claimId(kind.kind, supplier)))
      .flatMap((supplier) =>
        lotsOf(bySupplier.get(supplier) ?? [], supplier, {
          kind,
          claim: claims.get(supplier),
          recentFrom: asOfDay - recentDays,
        }),
      );
  });
};

/** Id of the finding that claims of a supplier. */
export const claimId = (kind: FindingKindName, supplier: string): string => findingId(kind, supplier, '', '');

const lotsOf = (
  ofSupplier: readonly MeasuredTest[],
  supplier: string,
  { kind, claim, recentFrom }: { kind: ClaimKind; claim: ClearClaim | undefined; recentFrom: number },
): ClaimLotRow[] => {
  const own = ofSupplier.filter((test) => Number.isFinite(kind.lost(test)));
  const lots = groupedBy(own, lotKey);
  const isAbove =
    claim?.level === undefined && claim !== undefined ? [] : surelyAbove([...lots.values()], kind);
  const sure = new Set(claim?.lots.map((lot) => lotKey((lot.own[0] as Judged).test)));
  return [...lots]
    .filter(([key], place) => isAbove[place] === true || sure.has(key))
    .map(([, own]) => own)
    .map((own) => lotRow(own, supplier, kind))
    .filter((row) => row.share > kind.usualPercent / 100)
    .sort(
      (a, b) =>
        Number(b.lastDay > recentFrom) - Number(a.lastDay > recentFrom) ||
        b.aboveUsualKg - a.aboveUsualKg ||
        b.piecesOutside - a.piecesOutside ||
        (a.lot < b.lot ? -1 : a.lot > b.lot ? 1 : a.item < b.item ? -1 : 1),
    );
};

const lotKey = (test: MeasuredTest): string => [test.plant, test.lot, test.item].join('\u0000');

/**
 * Whether the lower 95 % limit of each lot's own level is above what is usual by the margin, the level shrunken toward the mean of the
 * supplier's lots as far as lots are alike: of many lots of two or three tests some always look bad.
 */
const surelyAbove = (lots: readonly (readonly MeasuredTest[])[], kind: ClaimKind): boolean[] => {
  const values = lots.map((own) => own.map((test) => lostPercent(kind, test)));
  const means = values.map((own) => mean(own));
  const center = mean(means);
  const spread = lots.length > 1 ? sampleVariance(means) : 0;
  const freedom = values.reduce((sum, own) => sum + own.length - 1, 0);
  const squares = values.reduce(
    (sum, own, l) => sum + own.reduce((total, value) => total + (value - (means[l] as number)) ** 2, 0),
    0,
  );
  // of lots tested once each nothing tells lot from test: what they differ by is then the test's
  const ofTest = freedom > 0 ? squares / freedom : spread;
  const ofLot = Math.max(0, spread - ofTest * mean(values.map((own) => 1 / own.length)));
  return values.map((own, l) => {
    const noise = ofTest / own.length;
    const kept = ofLot > 0 ? ofLot / (ofLot + noise) : 0;
    const variance = kept * noise + (1 - kept) ** 2 * (spread / lots.length);
    const level = center + kept * ((means[l] as number) - center);
    return level - z975 * Math.sqrt(variance) > kind.usualPercent + kind.margin;
  });
};

const lotRow = (own: readonly MeasuredTest[], supplier: string, kind: ClaimKind): ClaimLotRow => {
  const { plant, lot, item } = own[0] as MeasuredTest;
  const sum = (value: (test: MeasuredTest) => number): number =>
    own.reduce((total, test) => total + value(test), 0);
  const [lost, whole] = [sum(kind.lost), sum(kind.of)];
  const above = lost - (kind.usualPercent / 100) * whole;
  const days = own.map((test) => test.cutDay).sort((a, b) => a - b);
  const cost = ratioEstimate(
    own.map((test) => test.purchaseCost),
    own.map((test) => test.billedFilledKg),
  ).value;
  return {
    findingId: claimId(kind.kind, supplier),
    kind: kind.kind,
    supplier,
    plant,
    lot,
    item,
    tests: own.length,
    firstDay: days[0] as number,
    lastDay: days[days.length - 1] as number,
    share: lost / whole,
    billedKg: sum((test) => test.billedFilledKg),
    lostKg: kind.inPieces ? Number.NaN : lost,
    aboveUsualKg: kind.inPieces ? Number.NaN : above,
    pieces: sum((test) => test.piecesIn),
    piecesOutside: kind.inPieces ? lost : Number.NaN,
    money: kind.inPieces ? Number.NaN : above * cost,
  };
};
