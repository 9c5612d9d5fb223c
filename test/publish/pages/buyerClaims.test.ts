import { describe, expect, it } from 'vitest';
import type { BagLossRow } from '../../../src/findings/buying/bagLosses.ts';
import type { ClaimLotRow } from '../../../src/findings/buying/buyingRows.ts';
import { bagLossTable } from '../../../src/publish/pages/bagLossTable.ts';
import { buyerClaims } from '../../../src/publish/pages/buyerClaims.tsx';
import type { BuyerView, ClaimRead } from '../../../src/publish/pages/buyerView.ts';
import { formats } from '../../../src/publish/pages/formats.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
const bundle = { chainName: 'Mill', reader: 'the buyer', nav: [], finds: '', banner: '' };
const lot = (money: number): ClaimLotRow =>
  ({ lot: `L${money}`, item: 'rib', firstDay: 20_000, lastDay: 20_003, money, pieces: 2 }) as ClaimLotRow;
const claim = (lots: ClaimLotRow[], lotsInAll: number, paid: number): ClaimRead => ({
  ...{ id: 'f-1', ask: 'Claim purge from Millrace', says: 'Much is lost.', step: 'Claim.' },
  ...{ lots, lotsInAll, paid },
});
const pageOf = (of: ClaimRead): string =>
  buyerClaims(
    { claims: [of], bagLosses: [], basis: { data: '', adjusted: '' } } as unknown as BuyerView,
    bundle,
    write,
  );

describe('the page of claims', () => {
  it('says how much of the money the lots that stand there make', () => {
    const page = pageOf(claim([lot(20), lot(30)], 40, 800));
    expect(page).toContain('2 of 40 lots above usual, $50 of $800 paid, those');
    expect(page).toContain('for $800 of weight above usual in 40 lots:');
    expect(pageOf(claim([lot(20)], 1, 20))).toContain('1 of 1 lots above usual, those');
  });
});

describe('the table of purge', () => {
  const row = (over: Partial<BagLossRow>): BagLossRow =>
    ({ supplier: 'North', by: 'supplier', group: 'North', missing: '', ...over }) as BagLossRow;
  it('says nothing of leakers where no sheet tells any, and a supplier once', () => {
    const cells = (...rows: BagLossRow[]) => bagLossTable(rows, write).rows.map((own) => [own[2], own[4]]);
    expect(cells(row({ leakerShare: Number.NaN }))).toEqual([['', '']]);
    expect(
      cells(row({ leakerShare: 0.1 }), row({ by: 'plant', group: 'P1', leakerShare: Number.NaN })),
    ).toEqual([
      ['', '10.0 %'],
      ['P1', 'not told'],
    ]);
  });
});
