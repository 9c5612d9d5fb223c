import type { Chain } from '../../catalog/chain.ts';
import type { FindingKindName } from '../../faults/findingKinds.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { ratioEstimate } from '../../tables/ratioEstimate.ts';
import { findingId } from '../habitFinding.ts';
import type { ClaimLotRow } from './buyingRows.ts';
import { type ClaimKind, claimKinds } from './claims.ts';

/** Lots cut within so many days stand first: an old one is hard to claim on (common practice, no source). */
const recentDays = 91;

/** Lots above what is usual, of the suppliers with a claim: within each kind and supplier recent lots first, of these the most to claim. */
export const claimLots = (
  used: readonly MeasuredTest[],
  findings: readonly { findingId: string }[],
  { chain, asOfDay }: { chain: Chain; asOfDay: number },
): ClaimLotRow[] => {
  const claimed = new Set(findings.map((finding) => finding.findingId));
  const suppliers = [...new Set(used.map((test) => test.supplier))].sort();
  return claimKinds(chain).flatMap((kind) =>
    suppliers
      .filter((supplier) => claimed.has(claimId(kind.kind, supplier)))
      .flatMap((supplier) => lotsOf(used, supplier, { kind, recentFrom: asOfDay - recentDays })),
  );
};

/** Id of the finding that claims of a supplier. */
export const claimId = (kind: FindingKindName, supplier: string): string => findingId(kind, supplier, '', '');

const lotsOf = (
  used: readonly MeasuredTest[],
  supplier: string,
  { kind, recentFrom }: { kind: ClaimKind; recentFrom: number },
): ClaimLotRow[] => {
  const own = used.filter((test) => test.supplier === supplier && Number.isFinite(kind.lost(test)));
  const lots = groupedBy(own, (test) => [test.plant, test.lot, test.item].join('\u0000'));
  return [...lots.values()]
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
