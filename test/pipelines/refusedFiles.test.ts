import { describe, expect, it } from 'vitest';
import { cleanRows, cleanText, type intakeOf, newChainFolder, nightOf, put, sheet } from './chainFolder.ts';

describe('files refused whole', () => {
  it('are kept in mind, with why and the stores they name, until they are sent again', () => {
    const store = cleanRows[0]?.split(',')[1] as string;
    const dated = (order: (y: string, m: string, d: string) => string): string =>
      sheet(cleanRows.map((row) => row.replace(/(\d{4})-(\d\d)-(\d\d)/g, (_, y, m) => order(y, m, '05'))));
    const folder = newChainFolder({
      'clean.csv': cleanText,
      'twoways.csv': dated((y, m, d) => `${d}/${m}/${y}`),
      'serial.csv': sheet(cleanRows.map((row) => row.replace(/\d{4}-\d\d-\d\d/g, '46000'))),
      'sheet.xlsx': 'PK\u0003\u0004',
      'partly.csv': cleanText.replace('lean trim,0.89', 'lean trim,x'),
    });
    const found = (own: ReturnType<typeof intakeOf>) =>
      (own.night.refusedFiles ?? []).map((one) => [one.file, one.reject.code, one.stores.includes(store)]);
    const first = nightOf(folder);
    const refused = [
      ['inbox/serial.csv', 'date-invalid', true],
      ['inbox/sheet.xlsx', 'file-type', false],
      ['inbox/twoways.csv', 'date-order-ambiguous', true],
    ];
    expect(found(first)).toEqual(refused);
    expect(found(nightOf(folder, { asOf: '2026-11-24' }))).toEqual(refused);
    put(folder, 'inbox/serial.csv', cleanText, 1_700_000_100);
    expect(found(nightOf(folder, { asOf: '2026-11-25' }))).toEqual(refused.slice(1));
  });
});
